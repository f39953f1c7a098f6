package wording

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMeant(t *testing.T) {
	sections := []string{"name", "site", "climate", "panel", "diode", "charger", "pack", "load", "box", "bus"}
	keys := []string{"latitude_deg", "longitude_deg", "height_m", "barometer_height_m", "skyline_deg", "capacity_ah", "out_v", "input_max_v", "input_min_v"}
	other := map[string][]string{"place": {"site"}, "battery": {"pack"}, "altitude": {"height_m"}, "nowhere": {"unheard_of"}, "voltage": {"set_v", "out_v"}}
	for _, c := range []struct {
		word  string
		among []string
		want  string
	}{
		{"place", sections, "site"}, {"Place", sections, "site"}, {"battery", sections, "pack"}, {"batery", sections, "pack"}, {"batteries", sections, "pack"},
		{"pakc", sections, "pack"}, {"panels", sections, "panel"}, {"PANEL", sections, "panel"}, {"chargr", sections, "charger"}, {"loads", sections, "load"},
		{"house", sections, ""}, {"xyz", sections, ""}, {"q", sections, ""}, {"", sections, ""}, {"_", sections, ""}, {"nowhere", sections, ""},
		{"latitude", keys, "latitude_deg"}, {"lattitude", keys, "latitude_deg"}, {"lat", keys, "latitude_deg"}, {"lon", keys, "longitude_deg"}, {"la", keys, ""},
		{"Height", keys, "height_m"}, {"altitude_m", keys, "height_m"}, {"capacity_mAh", keys, "capacity_ah"}, {"voltage", keys, "out_v"},
		{"input", keys, ""}, // two begin with it
		{"skyline-deg", keys, "skyline_deg"}, {"heigth_m", keys, "height_m"},
		{"air", []string{"air_c", "air_k", "air_2_c"}, "air_c"}, {"hum", []string{"humidity_2_pct", "humidity_pct"}, "humidity_pct"}, {"humdity_pc", []string{"humidity_pct"}, "humidity_pct"},
		{"place", nil, ""}, {strings.Repeat("latitude", 9), keys, ""},
	} {
		require.Equal(t, c.want, Meant(c.word, c.among, other), c.word)
	}
}

func TestEdits(t *testing.T) {
	for a, want := range map[string]int{"": 5, "air_c": 0, "air": 2, "airc": 1, "bir_d": 2, "xair_c": 1, "wxyz": 5, "iar_c": 1, "ia_rc": 2} {
		require.Equal(t, want, edits(a, "air_c"), a)
		require.Equal(t, want, edits("air_c", a), a)
	}
}

func TestMeantAmongEquals(t *testing.T) {
	names := []string{"temperature", "humidity", "pressure", "pressure_"}
	require.Equal(t, "humidity", Meant("humdity", names, nil))
	require.Equal(t, "humidity", Meant("humdty", names, nil))
	require.Equal(t, "", Meant("hmdt", names, nil))
	require.Equal(t, "pressure", Meant("pressureX", names, nil), "the first of two equally near")
	require.Equal(t, "", Meant("humidity", nil, nil))
}

// Whatever is typed, the answer is a candidate or nothing.
func FuzzMeant(f *testing.F) {
	f.Add("lattitude")
	f.Add("é_m_")
	f.Fuzz(func(t *testing.T, word string) {
		among := []string{"latitude_deg", "height_m", "time"}
		if got := Meant(word, among, map[string][]string{"altitude": {"height_m"}}); got != "" {
			require.Contains(t, among, got)
		}
	})
}
