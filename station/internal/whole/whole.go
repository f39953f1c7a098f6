// Package whole writes files that are either complete or not there.
package whole

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Write writes a file by way of a temporary one beside it that is renamed once
// everything is written and on the disk. If write fails, or the program ends
// before, what stood at path stays as it was. A program that is killed leaves
// the temporary file, .name.*, which nothing reads.
func Write(path string, write func(w io.Writer) error) error {
	tmp, err := temporary(path, write)
	if err != nil {
		return err
	}
	if err := os.Rename(tmp, path); err != nil {
		os.Remove(tmp)
		return err
	}
	return nil
}

// New is Write for a file that must not exist yet.
func New(path string, write func(w io.Writer) error) error {
	if _, err := os.Lstat(path); err == nil {
		return &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
	}
	tmp, err := temporary(path, write)
	if err != nil {
		return err
	}
	defer os.Remove(tmp)
	// A link, unlike a rename, replaces nothing that came in the meantime.
	if err := os.Link(tmp, path); err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	// A file system without links: the name is taken first.
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	f.Close()
	return os.Rename(tmp, path)
}

// temporary writes a temporary file for path and returns its name.
func temporary(path string, write func(w io.Writer) error) (name string, err error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return "", err
	}
	defer func() {
		if err != nil {
			tmp.Close()
			os.Remove(tmp.Name())
		}
	}()
	b := bufio.NewWriter(tmp)
	if err = write(b); err != nil {
		return "", err
	}
	if err = b.Flush(); err != nil {
		return "", err
	}
	if err = tmp.Sync(); err != nil {
		return "", err
	}
	if err = tmp.Chmod(0o644); err != nil {
		return "", err
	}
	return tmp.Name(), tmp.Close()
}
