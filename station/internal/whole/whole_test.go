package whole

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestWriteIsAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.txt")
	require.NoError(t, Write(path, text("first")))
	broken := errors.New("cable pulled")
	require.ErrorIs(t, Write(path, func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return broken
	}), broken)
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "first", string(got))
	require.NoError(t, Write(path, text("second")))
	got, err = os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "second", string(got))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 1, "no temporary file is left")
	require.ErrorIs(t, Write(filepath.Join(dir, "none", "a.txt"), text("x")), os.ErrNotExist)
	require.Error(t, Write(dir, text("x")), "a folder stands there")
}

func TestNewDoesNotOverwrite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	broken := errors.New("cable pulled")
	require.ErrorIs(t, New(path, func(io.Writer) error { return broken }), broken)
	require.NoFileExists(t, path)
	require.NoError(t, New(path, text("first")))
	require.ErrorIs(t, New(path, text("second")), os.ErrExist)
	late := path + "2"
	require.ErrorIs(t, New(late, func(io.Writer) error { return os.WriteFile(late, []byte("another's"), 0o600) }), os.ErrExist)
	other, err := os.ReadFile(late)
	require.NoError(t, err)
	require.Equal(t, "another's", string(other))
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 2, "no temporary file is left")
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "first", string(got))
}
