package refdata

import (
	"encoding/json"
	"fmt"
	"os"
	"path"
	"strconv"
	"strings"
)

// RecordVariable is the environment variable that, set to anything, makes every
// Check print its comparison to standard output. Standard output and not a
// file, because the go command prints it again when it has a test's result in
// its cache.
const RecordVariable = "REFDATA_RECORD"

// A Comparison is a result held against a check value.
type Comparison struct {
	Package        string // folder of the test that compared, relative to the module
	File           string // file of the check value, relative to the module
	Line           int
	Column         string
	Got, Want, Tol Number // Tol in the unit of the column
	Why, Source    string
}

// Folder is the folder of the file below testdata: the package whose sources
// its rows name.
func (c Comparison) Folder() string {
	return path.Dir(strings.TrimPrefix(c.File, "testdata/"))
}

// A Number is written with all its digits, NaN and infinities included.
type Number float64

// MarshalText writes the number so that it is read back exactly.
func (n Number) MarshalText() ([]byte, error) {
	return strconv.AppendFloat(nil, float64(n), 'g', -1, 64), nil
}

// UnmarshalText reads what MarshalText wrote.
func (n *Number) UnmarshalText(b []byte) error {
	v, err := strconv.ParseFloat(string(b), 64)
	*n = Number(v)
	return err
}

const recordMark = "refdata comparison: "

func (c Comparison) record() {
	b, err := json.Marshal(c)
	if err != nil {
		panic(err) // text and numbers: it cannot be
	}
	// One write, so that lines of parallel tests do not mix.
	os.Stdout.WriteString(recordMark + string(b) + "\n")
}

// ParseComparison reads a line of a test's output; ok is false where the line is
// none of a comparison.
func ParseComparison(line string) (c Comparison, ok bool, err error) {
	// A test may have printed something without an end of line before.
	_, text, ok := strings.Cut(line, recordMark)
	if !ok {
		return c, false, nil
	}
	if err := json.Unmarshal([]byte(text), &c); err != nil {
		return c, false, fmt.Errorf("the record of a comparison cannot be read: %w: %s", err, text)
	}
	return c, true, nil
}
