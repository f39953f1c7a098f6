package sky

// perezBins holds F11, F12, F13, F21, F22, F23 of the eight clearness bins
// (Perez et al. 1990, table 6), all sites together.
var perezBins = [8][6]float64{
	{-0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
	{0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
	{0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
	{0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
	{0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
	{1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
	{1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
	{0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
}

// perezBrightness returns the strengths of the circumsolar and the horizon
// part relative to the diffuse light (eqs. 6–8). The diffuse light must be
// above 0 and the sun up.
func perezBrightness(elevationDeg, e0 float64, l *Light, mass float64) (f1, f2 float64) {
	z := (90 - elevationDeg) * rad
	f := &perezBins[perezBin(z, l)]
	delta := l.DiffuseWPerM2 * mass / e0
	return max(0, f[0]+f[1]*delta+f[2]*z), f[3] + f[4]*delta + f[5]*z
}

// perezBin is the index of the bin of the sky's clearness (eq. 1 and table 1).
func perezBin(z float64, l *Light) int {
	k := 1.041 * z * z * z
	// eps >= bound written without the division: (r + k) >= bound (1 + k).
	r, n := 1+l.BeamNormalWPerM2/l.DiffuseWPerM2+k, 1+k
	switch {
	case r < 1.5*n:
		switch {
		case r < 1.065*n:
			return 0
		case r < 1.23*n:
			return 1
		}
		return 2
	case r < 1.95*n:
		return 3
	case r < 2.8*n:
		return 4
	case r < 4.5*n:
		return 5
	case r < 6.2*n:
		return 6
	}
	return 7
}

// perezDelta is the sky's brightness (eq. 2).
func perezDelta(sun *Sun, sinE float64, l *Light) float64 {
	return l.DiffuseWPerM2 * airMass(sun.ElevationDeg, sinE) / sun.extraterrestrial()
}
