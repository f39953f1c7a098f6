package report

import (
	"context"
	"fmt"
	"html"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
)

// browse runs a headless browser on a file.
func browse(t *testing.T, args ...string) []byte {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on the path: the page cannot be rendered")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	all := append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--hide-scrollbars", "--user-data-dir=" + t.TempDir()}, args...)
	out, err := exec.CommandContext(ctx, program, all...).Output()
	require.NoError(t, err)
	return out
}

// A page as wide as the window, nothing that sticks out, and every picture
// shown at its full width, on a phone and on a desk.
func TestPageFitsItsWindow(t *testing.T) {
	d := demo(t)
	d.Name = "A station with a name of a length that has to be broken into lines, Donaudampfschifffahrtsgesellschaft_without_a_single_space_in_it"
	empty := &station.Description{Name: "empty"}
	for name, desc := range map[string]*station.Description{"demo": d, "empty": empty} {
		page, _ := reviewed(t, desc, station.Options{Seed: 1})
		for _, width := range []int{375, 1280} {
			t.Run(fmt.Sprint(name, width), func(t *testing.T) {
				// The page lies in a frame of the wanted width: browsers do not
				// make windows as narrow as a phone.
				wrapper := fmt.Sprintf(`<!DOCTYPE html><body><iframe style="border:0;width:%dpx;height:2000px" srcdoc="%s"></iframe><script>
onload=function(){var d=document.querySelector("iframe").contentDocument,e=d.documentElement,out=[],small=1e9,n=0;
d.querySelectorAll("main *,header *,nav *,footer *").forEach(function(x){if(x.closest(".wide,svg,.unseen,thead"))return;var r=x.getBoundingClientRect();if(r.right>e.clientWidth+1)out.push(x.tagName+x.className)});
d.querySelectorAll("svg").forEach(function(s){n++;var r=s.getBoundingClientRect();small=Math.min(small,r.width)});
var letters=1e9;d.querySelectorAll("svg text").forEach(function(x){letters=Math.min(letters,x.getBoundingClientRect().height)});
document.body.setAttribute("data-measured",[e.scrollWidth,e.clientWidth,out.length,n,Math.round(small),Math.round(10*letters)].join(" "));
document.body.setAttribute("data-out",out.join(" "))}</script>`, width, html.EscapeString(page))
				path := filepath.Join(t.TempDir(), "wrapper.html")
				require.NoError(t, os.WriteFile(path, []byte(wrapper), 0o600))
				dom := string(browse(t, "--window-size=1400,2100", "--dump-dom", "file://"+path))
				m := regexp.MustCompile(`data-measured="(\d+) (\d+) (\d+) (\d+) (\d+) (\d+)"`).FindStringSubmatch(dom)
				require.NotNil(t, m, "nothing measured")
				v := make([]int, 7)
				for i := range m[1:] {
					v[i], _ = strconv.Atoi(m[i+1])
				}
				require.LessOrEqual(t, v[0], v[1], "the page scrolls sideways")
				require.InDelta(t, width, v[1], 20, "the frame has the width of the test")
				require.Zero(t, v[2], "sticks out: %s", regexp.MustCompile(`data-out="[^"]*"`).FindString(dom))
				if name == "demo" {
					require.Equal(t, 7, v[3])
					require.GreaterOrEqual(t, v[4], min(width-40, 420), "a picture is shown too small")
					require.GreaterOrEqual(t, v[5], 80, "letters of a picture are less than 8 px high")
				}
			})
		}
	}
}

// The page is drawn in light and in dark.
func TestPageInLightAndDark(t *testing.T) {
	page, _ := reviewed(t, demo(t), station.Options{Seed: 1})
	path := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(path, []byte(page), 0o600))
	for scheme, setting := range map[string]string{"dark": "0", "light": "1"} {
		shot := filepath.Join(t.TempDir(), scheme+".png")
		browse(t, "--blink-settings=preferredColorScheme="+setting, "--screenshot="+shot, "--window-size=1280,3000", "file://"+path)
		f, err := os.Open(shot)
		require.NoError(t, err)
		defer f.Close()
		img, err := png.Decode(f)
		require.NoError(t, err)
		b := img.Bounds()
		seen := map[[3]uint32]int{}
		sum, n := 0.0, 0.0
		for y := b.Min.Y; y < b.Max.Y; y += 3 {
			for x := b.Min.X; x < b.Max.X; x += 3 {
				r, g, bl, _ := img.At(x, y).RGBA()
				seen[[3]uint32{r >> 12, g >> 12, bl >> 12}]++
				sum += float64(r+g+bl) / 3 / 0xffff
				n++
			}
		}
		require.Greater(t, len(seen), 40, "%s: an empty page", scheme)
		if scheme == "dark" {
			require.Less(t, sum/n, 0.3)
		} else {
			require.Greater(t, sum/n, 0.7)
		}
	}
}
