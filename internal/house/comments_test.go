package house

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryExportedNameHasAComment(t *testing.T) {
	checked := 0
	for path, p := range list(t) {
		rel, ok := strings.CutPrefix(path, module)
		if !ok || strings.HasPrefix(rel, "/internal/") || strings.Contains(rel, "/internal/") || strings.HasPrefix(rel, "/examples/") {
			continue
		}
		checked++
		complaints, err := checkComments(p.Dir)
		require.NoError(t, err)
		for _, c := range complaints {
			t.Errorf("%s/%s", strings.TrimPrefix(rel, "/"), c)
		}
	}
	require.Greater(t, checked, 20)
}

func TestCommentRule(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.go"), []byte(`package a

// Good.
func Good() {}

func Bad() {}

func quiet() {}

type Naked struct {
	X float64
}

// T is told.
type T struct {
	A float64 // told
	B float64
	// Told for both.
	C, D float64
	E    int

	F *float64
	G string
	H float64 `+"`doc:\"told\"`"+`
	i float64
}

func (T) Method() {}

type hidden struct{ X float64 }

func (hidden) Method() {}

// I is told.
type I interface {
	// Told.
	M()
	N()
}

// A group is told as one.
const (
	P = 1
	Q = 2
)

var R = 3

var S = 4 // told
`), 0o600))
	got, err := checkComments(dir)
	require.NoError(t, err)
	require.Equal(t, []string{
		"a.go:6: Bad has no comment",
		"a.go:10: type Naked has no comment",
		"a.go:11: field Naked.X has no comment",
		"a.go:17: field T.B has no comment",
		"a.go:22: field T.F has no comment",
		"a.go:28: Method has no comment",
		"a.go:38: method I.N has no comment",
		"a.go:47: R has no comment",
		"the package has no comment",
	}, got)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "doc.go"), []byte("// Package a is told.\npackage a\n"), 0o600))
	again, err := checkComments(dir)
	require.NoError(t, err)
	require.Equal(t, got[:len(got)-1], again)
}
