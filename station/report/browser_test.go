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
		for _, width := range []int{360, 375, 1280} {
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

// Whoever has no mouse reaches everything in the order of the page, and sees where
// he is: the way past the sections comes first and shows when it is reached, links,
// details and tables that scroll take the focus and are outlined, and no order is
// forced on them.
func TestPageByKeyboard(t *testing.T) {
	page, _ := reviewed(t, demo(t), station.Options{Seed: 1})
	wrapper := fmt.Sprintf(`<!DOCTYPE html><body><iframe style="border:0;width:375px;height:2000px" srcdoc="%s"></iframe><script>
onload=function(){var f=document.querySelector("iframe"),w=f.contentWindow,d=f.contentDocument;w.focus();
var all=[...d.querySelectorAll("a[href],summary,button,input,select,textarea,[tabindex]")],bad=[];
all.forEach(function(x){var name=x.tagName+" "+(x.textContent||"").trim().slice(0,30);
if(x.tabIndex!=0)bad.push("order of "+name);
x.focus();if(d.activeElement!==x)bad.push("no focus: "+name);
var c=w.getComputedStyle(x);if(c.outlineStyle=="none"||parseFloat(c.outlineWidth)<2)bad.push("no outline: "+name);
var r=x.getBoundingClientRect();if(r.right<=0||r.bottom<=-1||r.width<1||r.height<1)bad.push("not seen: "+name);
var h=x.getAttribute("href");if(h&&!(h[0]=="#"&&d.getElementById(h.slice(1))))bad.push("leads nowhere: "+name)});
d.querySelectorAll("*").forEach(function(x){if(x.scrollWidth>x.clientWidth+1&&/auto|scroll/.test(w.getComputedStyle(x).overflowX)&&x.tabIndex<0)bad.push("scrolls without focus: "+x.tagName+"."+x.className)});
document.body.setAttribute("data-first",all[0].className);document.body.setAttribute("data-kinds",["A","SUMMARY","DIV"].map(function(k){return all.filter(function(x){return x.tagName==k}).length}).join(" "));
document.body.setAttribute("data-bad",bad.join("; "))}</script>`, html.EscapeString(page))
	path := filepath.Join(t.TempDir(), "keyboard.html")
	require.NoError(t, os.WriteFile(path, []byte(wrapper), 0o600))
	dom := string(browse(t, "--window-size=1400,2100", "--dump-dom", "file://"+path))
	attribute := func(name string) string {
		m := regexp.MustCompile(`data-` + name + `="([^"]*)"`).FindStringSubmatch(dom)
		require.NotNil(t, m, "nothing measured")
		return html.UnescapeString(m[1])
	}
	require.Empty(t, attribute("bad"))
	require.Equal(t, "skip", attribute("first"))
	kinds := regexp.MustCompile(`^(\d+) (\d+) (\d+)$`).FindStringSubmatch(attribute("kinds"))
	require.NotNil(t, kinds)
	for i, least := range []int{20, 10, 3} { // links, details, tables that scroll
		n, err := strconv.Atoi(kinds[i+1])
		require.NoError(t, err)
		require.GreaterOrEqual(t, n, least, kinds[0])
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
