// Package whole writes files that are either complete or not there.
package whole

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
)

// Write writes a file by way of a temporary one beside it that is renamed once
// everything is written and on the disk. If write fails, or the program ends
// before, what stood at path stays as it was.
func Write(path string, write func(w io.Writer) error) (err error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			tmp.Close()
			os.Remove(tmp.Name())
		}
	}()
	b := bufio.NewWriter(tmp)
	if err = write(b); err != nil {
		return err
	}
	if err = b.Flush(); err != nil {
		return err
	}
	if err = tmp.Sync(); err != nil {
		return err
	}
	if err = tmp.Chmod(0o644); err != nil {
		return err
	}
	if err = tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), path)
}

// New is Write for a file that must not exist yet.
func New(path string, write func(w io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	f.Close()
	if err := Write(path, write); err != nil {
		os.Remove(path)
		return err
	}
	return nil
}
