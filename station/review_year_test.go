package station

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A retry longer than the period lasts to its end. By hand, nominal 9.6 V: (118.5 s · 72 mA
// + 1.5 s · 260 mA)/120 s + 30 mA · 300/3600 + 5 mA = 81.85 mA, 18.86 Wh a day.
func TestARetryBeyondThePeriod(t *testing.T) {
	d := demo(t)
	d.Loads[0].RetryS = Of(100.0)
	f := find(t, review(t, d), "a day with the network away")
	require.InDelta(t, 18.86, f.Value, 0.005)
}

// A start voltage that the charger does not reach is never met again.
func TestARestartAboveWhatTheChargerGives(t *testing.T) {
	d := demo(t)
	d.Charger.SetV, d.Service.RestartV = Of(10.5), Of(12.0)
	f := find(t, review(t, d), "start voltage below the charger's setting")
	require.Equal(t, Change, f.Word)
	require.InDelta(t, -1.5, f.Margin, 1e-12)
}
