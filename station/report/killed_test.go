package report

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/bench"
)

// results are the files that a program writes for a user, in two versions that
// differ in every one of them.
func results(t testing.TB) (out [2]map[string]func(io.Writer) error) {
	t.Helper()
	for i := range out {
		d := &station.Description{
			Name:    fmt.Sprintf("Trim of a pack, version %d (invented)", i),
			Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(3 + i), MismatchV: station.Of(0.03)},
			Charger: &station.Charger{SetV: station.Of(10.95 + 3.6*float64(i))},
		}
		r, err := station.NewReview(d, station.Options{})
		require.NoError(t, err)
		other, err := station.NewReview(&station.Description{}, station.Options{})
		require.NoError(t, err)
		rows, err := bench.ReadTable(strings.NewReader("input V,output V,load ohm\n"+strings.Repeat("9,5,30\n", 3+i)), "t.csv")
		require.NoError(t, err)
		judged := benchOf5V(t).Judge(rows)
		years := make([]station.Outcome, 2000+i)
		out[i] = map[string]func(io.Writer) error{
			"review.json": r.WriteJSON,
			"page.html":   func(w io.Writer) error { return HTML(w, r) },
			"review.txt":  func(w io.Writer) error { return Text(w, r, true) },
			"changes.txt": func(w io.Writer) error { return Differences(w, station.Compare(other, r)) },
			"own.toml":    d.WriteTOML,
			"empty.toml":  d.WriteTemplate,
			"bench.txt":   func(w io.Writer) error { return Bench(w, judged) },
			"bench.svg":   func(w io.Writer) error { return BenchSVG(w, judged) },
			"years.txt":   func(w io.Writer) error { return Years(w, years, float64(i)) },
			"levers.txt":  func(w io.Writer) error { return Levers(w, []station.Lever{{Name: fmt.Sprint(i)}, {}}) },
		}
	}
	return out
}

// TestWriterToBeKilled is not a test but the program that TestKilledWhileWriting
// starts: it writes for ever.
func TestWriterToBeKilled(t *testing.T) {
	dir := os.Getenv("STATIONPHYSICS_TEST_WRITE_TO")
	if dir == "" {
		t.Skip("the program that TestKilledWhileWriting starts")
	}
	versions := results(t)
	fmt.Println("begun")
	for n := 0; ; n++ {
		for name, write := range versions[n%2] {
			require.NoError(t, WriteFile(filepath.Join(dir, name), write))
			require.NoError(t, NewFile(filepath.Join(dir, fmt.Sprintf("new-%d-%d-%s", os.Getpid(), n, name)), write))
		}
	}
}

// A program that is killed at any moment leaves every file whole: as it was
// before, or as it should become, and no other files but temporary ones, over
// which the next writes go on.
func TestKilledWhileWriting(t *testing.T) {
	if testing.Short() {
		t.Skip("starts and kills programs")
	}
	self, err := os.Executable()
	require.NoError(t, err)
	var whole [2]map[string]string
	versions := results(t)
	for i, v := range versions {
		whole[i] = map[string]string{}
		for name, write := range v {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			whole[i][name] = b.String()
		}
	}
	for name := range whole[0] {
		require.NotEmpty(t, whole[0][name])
		if name != "empty.toml" && name != "changes.txt" {
			require.NotEqual(t, whole[0][name], whole[1][name], name)
		}
	}
	dir := t.TempDir()
	random := rand.New(rand.NewSource(4))
	files, temporary := 0, 0
	for range 12 {
		cmd := exec.Command(self, "-test.run=^TestWriterToBeKilled$")
		cmd.Env = append(os.Environ(), "STATIONPHYSICS_TEST_WRITE_TO="+dir)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		if err = cmd.Start(); errors.Is(err, syscall.ENOEXEC) {
			t.Skip("runs in an emulator, under which a program cannot start itself")
		}
		require.NoError(t, err)
		line, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		require.Equal(t, "begun\n", line)
		time.Sleep(time.Duration(random.Int63n(int64(80 * time.Millisecond))))
		require.NoError(t, cmd.Process.Kill())
		require.Error(t, cmd.Wait(), "it was killed, and did not end by itself")
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		files = 0
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), ".") {
				temporary++
				require.NoError(t, os.Remove(filepath.Join(dir, e.Name())))
				continue
			}
			name := e.Name()
			if strings.HasPrefix(name, "new-") {
				name = strings.SplitN(name, "-", 4)[3]
			}
			require.Contains(t, whole[0], name)
			b, err := os.ReadFile(filepath.Join(dir, e.Name()))
			require.NoError(t, err)
			if s := string(b); s != whole[0][name] && s != whole[1][name] {
				t.Fatalf("%s of %d bytes is neither of %d nor of %d", e.Name(), len(s), len(whole[0][name]), len(whole[1][name]))
			}
			files++
		}
	}
	require.Greater(t, files, 20, "killed too early to have written anything")
	for name, write := range versions[1] {
		path := filepath.Join(dir, name)
		require.NoError(t, WriteFile(path, write))
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, whole[1][name], string(b))
		require.ErrorIs(t, NewFile(path, write), os.ErrExist)
	}
	t.Logf("12 programs killed: %d files, all whole, and %d temporary ones", files, temporary)
}
