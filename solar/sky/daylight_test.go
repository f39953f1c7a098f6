package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// The efficacies of Perez against the reference spectra of ASTM G173 weighted
// with V(λ).
func TestEfficacyOfTheReferenceSpectra(t *testing.T) {
	dew := (math.Log(1.42) + 0.075) / 0.07
	require.InDelta(t, 1.42, PrecipitableWaterCm(dew), 1e-12)
	sun := Sun{ElevationDeg: 90 - 48.19, DistanceAU: 1}
	l := Light{900.1*math.Sin(sun.ElevationDeg*rad) + 90, 900.1, 90}
	ill := l.Illuminance(sun, dew)
	refdata.Each(t, "solar/sky/reference_spectra", func(r *refdata.Row) {
		r.Check("beamLmPerW", ill.BeamNormalLx/l.BeamNormalWPerM2, "Illuminance, direct")
		r.Check("globalLmPerW", ill.GlobalLx/l.GlobalWPerM2, "Illuminance, global")
	})
	require.Greater(t, ill.DiffuseLx/l.DiffuseWPerM2, 120.0, "blue light is richer in lumens")
}

func TestIlluminanceEdges(t *testing.T) {
	sun := Sun{40, 0, 1}
	require.Equal(t, Illuminance{}, Light{}.Illuminance(sun, 10))
	none := Light{600, 900, 0}.Illuminance(sun, 10)
	require.Zero(t, none.DiffuseLx)
	require.InDelta(t, 600*100, none.GlobalLx, 600*25)
	require.Greater(t, none.BeamNormalLx, 80000.0)
	// The dusk has the efficacy of the horizon.
	require.InDelta(t, Light{5, 0, 5}.Illuminance(Sun{0, 0, 1}, 10).GlobalLx, Light{5, 0, 5}.Illuminance(Sun{-4, 0, 1}, 10).GlobalLx, 1e-9)
	require.InDelta(t, 550, Light{5, 0, 5}.Illuminance(Sun{-4, 0, 1}, 10).GlobalLx, 150)
	for _, bad := range []Illuminance{Light{100, 0, 100}.Illuminance(Sun{91, 0, 1}, 10), Light{-1, 0, 100}.Illuminance(sun, 10), Light{100, 0, 100}.Illuminance(sun, 36), Light{100, 0, 100}.Illuminance(sun, nan)} {
		require.True(t, math.IsNaN(bad.GlobalLx) && math.IsNaN(bad.BeamNormalLx) && math.IsNaN(bad.DiffuseLx))
	}
	require.True(t, math.IsNaN(PrecipitableWaterCm(-61)))
	require.EqualError(t, CheckDewPoint(283.15), "dew point 283.15 °C is outside -60..35 °C: kelvins?")
	require.NoError(t, CheckDewPoint(35))
	require.NoError(t, CheckDewPoint(-60))
	// Noon in summer: the direct sun of 100 to 130 klx that the trade speaks of.
	noon := ClearSky(Sun{65, 0, 1}, 200, 3).Illuminance(Sun{65, 0, 1}, 12)
	require.Greater(t, noon.GlobalLx, 95000.0)
	require.Less(t, noon.GlobalLx, 130000.0)
}

// There and back: the light of a reading, in lux again, is the reading, and
// the band holds the irradiance that made it under any sky.
func TestIrradianceFromLux(t *testing.T) {
	s := LightSensor{TopLx: 200000, DewPointC: 10}
	for _, e := range []float64{8, 15, 30, 60} {
		sun := Sun{e, 180, 1}
		for kt := 0.05; kt < 0.75; kt += 0.05 {
			g := kt * SolarConstantWPerM2 * math.Sin(e*rad)
			l := ErbsDriesse.Light(sun, g)
			lux := l.Illuminance(sun, 10).GlobalLx
			b := s.Irradiance(sun, lux)
			require.False(t, b.AtLeast)
			// At the edge of a clearness bin two irradiances give one illuminance.
			require.InEpsilon(t, g, b.BestWPerM2, 0.05, "%g° %g", e, kt)
			require.LessOrEqual(t, b.LowWPerM2, b.BestWPerM2)
			require.GreaterOrEqual(t, b.HighWPerM2, b.BestWPerM2)
			require.LessOrEqual(t, b.LowWPerM2, g*1.001)
			require.GreaterOrEqual(t, b.HighWPerM2, g*0.999)
			require.Less(t, b.HighWPerM2/b.LowWPerM2, 1.35, "%g° %g", e, kt)
			back := ErbsDriesse.Light(sun, b.BestWPerM2).Illuminance(sun, 10).GlobalLx
			require.InEpsilon(t, lux, back, 0.06)
			// Other skies of the same reading lie in the band too.
			for _, kd := range []float64{0.2, 0.5, 0.8, 1} {
				beam := g * (1 - kd) / math.Sin(e*rad)
				if beam > beamBound(&sun, math.Sin(e*rad)) {
					continue
				}
				other := Light{g, beam, g * kd}
				b := s.Irradiance(sun, other.Illuminance(sun, 10).GlobalLx)
				require.LessOrEqual(t, b.LowWPerM2, g*1.03)
				require.GreaterOrEqual(t, b.HighWPerM2, g*0.97)
			}
		}
	}
	// The reading of the job: 54 612 lx, a sun of 30°.
	sixteen := LightSensor{TopLx: SixteenBitTopLx, DewPointC: 10}
	b := sixteen.Irradiance(Sun{30, 180, 1}, 54612.5)
	require.True(t, b.AtLeast)
	require.True(t, math.IsInf(b.HighWPerM2, 1))
	require.True(t, math.IsNaN(b.BestWPerM2))
	require.InDelta(t, 450, b.LowWPerM2, 60)
	require.True(t, sixteen.Irradiance(Sun{30, 180, 1}, 54612).AtLeast, "one count below the top is the top")
	require.False(t, sixteen.Irradiance(Sun{30, 180, 1}, 54610).AtLeast)
	// One scale does not fit all: the common 126.7 lx for a W/m² is outside the
	// band of a clear low sun.
	low := s.Irradiance(Sun{15, 180, 1}, 20000)
	require.Greater(t, low.LowWPerM2, 20000/126.7)
	require.Equal(t, IrradianceBand{}, s.Irradiance(Sun{30, 0, 1}, 0))
	dusk := s.Irradiance(Sun{-2, 0, 1}, 300)
	require.InDelta(t, 2.8, dusk.BestWPerM2, 0.6)
	require.False(t, dusk.AtLeast)
	for _, bad := range []IrradianceBand{
		s.Irradiance(Sun{91, 0, 1}, 100), s.Irradiance(Sun{30, 0, 1}, -1), s.Irradiance(Sun{30, 0, 1}, nan), s.Irradiance(Sun{30, 0, 1}, 200001),
		LightSensor{0.5, 10}.Irradiance(Sun{30, 0, 1}, 100), LightSensor{54612.5, 40}.Irradiance(Sun{30, 0, 1}, 100),
	} {
		require.True(t, math.IsNaN(bad.LowWPerM2) && math.IsNaN(bad.BestWPerM2) && math.IsNaN(bad.HighWPerM2))
	}
	require.EqualError(t, CheckReading(-1), "illuminance -1 lx is outside 0..200000 lx")
	require.NoError(t, CheckReading(200000))
	require.EqualError(t, LightSensor{0, 10}.Check(), "top of the light sensor's range 0 lx is outside 1..200000 lx")
	require.EqualError(t, LightSensor{1000, 50}.Check(), "dew point 50 °C is outside -60..35 °C: degrees Fahrenheit?")
}

func TestPeggedHours(t *testing.T) {
	site := vienna(t)
	day := time.Date(2024, 6, 20, 0, 0, 0, 0, time.UTC)
	track := must(site.Track(day, day.Add(25*time.Hour)))(t)
	var records []Record
	count := 0.0
	s := LightSensor{SixteenBitTopLx, 10}
	for h := range 24 {
		mid, up := SunUp(track, day.Add(time.Duration(h)*time.Hour), time.Hour)
		l := ClearSky(mid, 200, 3)
		if up < 1 {
			l = Light{}
		}
		if l.Illuminance(mid, 10).GlobalLx > SixteenBitTopLx {
			count++
		}
		records = append(records, Record{day.Add(time.Duration(h) * time.Hour), time.Hour, l})
	}
	require.GreaterOrEqual(t, count, 8.0)
	require.Equal(t, count, s.PeggedH(track, records))
	require.Zero(t, LightSensor{150000, 10}.PeggedH(track, records))
	half := []Record{{records[11].Start, 30 * time.Minute, records[11].Light}}
	require.InDelta(t, 0.5, s.PeggedH(track, half), 1e-9)
	records[11].GlobalWPerM2 = nan
	require.InDelta(t, count-1, s.PeggedH(track, records), 1e-9)
	require.True(t, math.IsNaN(LightSensor{0, 10}.PeggedH(track, records)))
	// Half an hour of bright sun before sunset counts as half an hour.
	setting := time.Date(2024, 6, 20, 18, 20, 0, 0, time.UTC)
	_, up := SunUp(track, setting, time.Hour)
	require.Greater(t, up, 0.3)
	require.Less(t, up, 0.9)
	low := LightSensor{1000, 10}
	require.InDelta(t, up, low.PeggedH(track, []Record{{setting, time.Hour, Light{20, 30, 15}}}), 1e-9)
}
