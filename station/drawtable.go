package station

// drawTable holds the draw of the supply over pack voltage.
type drawTable struct {
	lowV, stepV float64
	amps        [tableLen]float64
	servedW     [tableLen]float64
	heatW       [tableLen]float64
}

const tableLen = 65

func (s *supply) table(lowV, highV float64, m mode) *drawTable {
	t := &drawTable{lowV: lowV, stepV: (highV - lowV) / (tableLen - 1)}
	for i := range tableLen {
		v := lowV + t.stepV*float64(i)
		d := s.at(v, m)
		t.amps[i], t.servedW[i] = d.packA, d.servedW
		for _, h := range d.heatW {
			t.heatW[i] += h
		}
	}
	return t
}

// at interpolates; between the points of the table a linear regulator's
// current and a converter's power are smooth.
func (t *drawTable) at(v float64) (amps, servedW, heatW float64) {
	x := (v - t.lowV) / t.stepV
	i := int(x)
	switch {
	case !(x > 0):
		i, x = 0, 0
	case i >= tableLen-1:
		i, x = tableLen-2, 1
	default:
		x -= float64(i)
	}
	return t.amps[i] + x*(t.amps[i+1]-t.amps[i]), t.servedW[i] + x*(t.servedW[i+1]-t.servedW[i]), t.heatW[i] + x*(t.heatW[i+1]-t.heatW[i])
}
