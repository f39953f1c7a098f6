package house

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Files and folders that the documents name exist.
func TestDocumentsNameWhatExists(t *testing.T) {
	for _, doc := range documents(t) {
		b, err := os.ReadFile(filepath.Join("../..", doc))
		require.NoError(t, err)
		for _, m := range regexp.MustCompile("(?:\\./|`)((?:examples|docs|testdata|internal|station|psychro|\\.ci)(?:/[A-Za-z0-9_.-]+)+)").FindAllStringSubmatch(string(b), -1) {
			if strings.Contains(m[1], "...") || strings.HasSuffix(m[1], "/") {
				continue
			}
			_, err := os.Stat(filepath.Join("../..", m[1]))
			require.NoError(t, err, "%s names %s", doc, m[1])
		}
	}
}
