package refdata

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

const list = `# Sources

"read" and "quoted" in the introduction count for nothing.

## General

- **rule**: follows from the definition; by hand.

## solar

- **guide**: A Guide to the Evaluation of things; read.
- **both**: a book; tables quoted, examples from memory. Fig. 2 read.

## solar/sky

- **guide**: its other part; quoted, values evaluated by other code.
- **plain**: no last part but a library, computed.

## wind

- **guide**: third part; quoted and from memory.
`

func sources(t *testing.T, text string) (Sources, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "SOURCES.md")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return ReadSources(path)
}

func TestKindOfARow(t *testing.T) {
	s, err := sources(t, list)
	require.NoError(t, err)
	for _, c := range []struct {
		pkg, cell string
		want      Kind
	}{
		{"solar", "guide ch. 2", Published},
		{"solar/panel", "guide, ch. 2", Published},   // of the package above
		{"solar/sky", "guide; fig. 3", Independent},  // its own line first
		{"wind", "guide", FromMemory},                // two words: the least certain
		{"rain", "guide", FromMemory},                // three lines, none its own: the least certain
		{"solar", "both table 4", FromMemory},        //
		{"solar", "both table 4; quoted", Published}, // the row's own word
		{"wind", "guide eq. 3 evaluated", Independent},
		{"wind", "guide eq. 3 solved by hand", ByHand},
		{"wind", "guide eq. 3 evaluated, constants from memory", FromMemory},
		{"rain", "rule", ByHand},
		{"rain", "plain bread and misquoted", Independent}, // whole words only
		{"", "plain", Independent},
	} {
		k, err := s.Kind(c.pkg, c.cell)
		require.NoError(t, err)
		require.Equal(t, c.want, k, "%s of %q, not %s", c.want, c.cell, k)
	}
	for _, cell := range []string{"", "pamphlet p. 3; read"} {
		_, err := s.Kind("solar", cell)
		require.ErrorContains(t, err, "is not in testdata/SOURCES.md")
	}
}

func TestEverySourceSaysHowItWasRead(t *testing.T) {
	_, err := sources(t, list+"- **dumb**: a book to be read; second edition.\n")
	require.EqualError(t, err, `testdata/SOURCES.md: "dumb" does not say whether it was read, quoted, computed, worked by hand or from memory`)
	_, err = ReadSources(filepath.Join(t.TempDir(), "absent"))
	require.ErrorIs(t, err, os.ErrNotExist)
}
