package station

import (
	"bytes"
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write generated documents instead of comparing them")

func TestWriteTOMLRoundTrip(t *testing.T) {
	for name, d := range map[string]*Description{
		"demo":  demo(t),
		"empty": {},
		"bench": benchStation(),
		"odd":   {Name: "a \"quoted\"\\ name\n\twith \x01 and ü", Pack: &Pack{ColdStop: Of(false)}, Links: []*Link{{}, {Joins: []string{"a", "b"}, Fitted: Of(true)}}},
	} {
		var b bytes.Buffer
		require.NoError(t, d.WriteTOML(&b))
		back, err := Read(bytes.NewReader(b.Bytes()), "back.toml")
		require.NoError(t, err, "%s:\n%s", name, b.String())
		require.Empty(t, cmp.Diff(d, back), name)
	}
}

func TestTemplateReadsAsIsAndWhenTakenIn(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, (&Description{}).WriteTemplate(&b))
	d, err := Read(bytes.NewReader(b.Bytes()), "new.toml")
	require.NoError(t, err, b.String())
	require.Empty(t, d.Loads)
	// Every key of the type is there.
	for _, key := range []string{"vmp_v", "skyline_deg", "efficiency_at_a", "junction_max_c", "damage_v", "fitted"} {
		require.Contains(t, b.String(), key)
	}
	// Taking the # from all lines gives text that parses: each line is of the
	// right form, though zeros are out of many ranges.
	open := regexp.MustCompile(`(?m)^# (\[\[?[a-z]+\]\]?|[a-z_0-9]+ = )`).ReplaceAllString(b.String(), "$1")
	_, err = Read(strings.NewReader(open), "new.toml")
	require.Error(t, err)
	require.NotContains(t, err.Error(), "expected a number")
	require.NotContains(t, err.Error(), "unknown key")

	// A template of a described station keeps what it states.
	b.Reset()
	require.NoError(t, demo(t).WriteTemplate(&b))
	back, err := Read(bytes.NewReader(b.Bytes()), "demo.toml")
	require.NoError(t, err)
	want := demo(t)
	require.Empty(t, cmp.Diff(want.Pack, back.Pack))
	require.Empty(t, cmp.Diff(want.Loads, back.Loads))
}

func TestWriteReportsAWriteError(t *testing.T) {
	require.ErrorIs(t, demo(t).WriteTOML(failing{}), os.ErrClosed)
	require.ErrorIs(t, (&Description{Name: "a"}).WriteTOML(failing{}), os.ErrClosed, "so short that only the end is written")
	require.ErrorIs(t, demo(t).WriteTemplate(failing{}), os.ErrClosed)
	require.ErrorIs(t, FieldReference(failing{}), os.ErrClosed)
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestFieldReferenceIsCurrent(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, FieldReference(&b))
	const path = "../docs/description.md"
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), b.String()), "run go test ./station -run FieldReference -update")
}
