package report

import (
	"io"

	"github.com/stationphysics/stationphysics/station/internal/whole"
)

// WriteFile writes a file that is either complete or not there: an interrupted
// program leaves what stood at path before.
func WriteFile(path string, write func(w io.Writer) error) error { return whole.Write(path, write) }

// NewFile is WriteFile for a file that must not exist yet; its error is
// os.ErrExist if it does.
func NewFile(path string, write func(w io.Writer) error) error { return whole.New(path, write) }
