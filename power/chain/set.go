package chain

import (
	"errors"
	"fmt"
	"math"
)

// Set changes the values of one source or load for the following solutions of
// this workspace: another sun on the panel, another charge of the pack, the
// load asleep. The part must be a Panel, Battery, Resistor, CurrentLoad or
// PowerLoad already. A value out of its range changes nothing and is an error
// as in New, a name that no part has a *stationphysics.NameError. Without an error it does not allocate.
func (w *Workspace) Set(part string, m Model) error {
	i, ok := w.c.partOf[part]
	if !ok {
		return w.c.unknownPart(part)
	}
	b := w.base[w.c.first[i]:w.c.first[i+1]]
	old := w.c.parts[i].Model
	e := checker{part: part}
	same := false
	switch m := m.(type) {
	case Panel:
		if _, same = old.(Panel); same {
			if m.check(&e); e.errs == nil {
				b[0].r, b[1].e, b[2].sat, b[2].vt, b[3].g = m.SeriesOhm, m.PhotoA, m.SaturationA, m.ThermalV, m.shuntS()
				w.topV = math.Max(w.topV, m.ThermalV*math.Log1p(m.PhotoA/m.SaturationA))
			}
		}
	case Battery:
		if _, same = old.(Battery); same {
			if m.check(&e); e.errs == nil {
				b[0].e, b[0].r = m.OpenV, m.SeriesOhm
				w.topV = math.Max(w.topV, m.OpenV)
			}
		}
	case Resistor:
		if _, same = old.(Resistor); same {
			if m.check(&e); e.errs == nil {
				b[0].g = 1 / m.Ohm
			}
		}
	case CurrentLoad:
		if _, same = old.(CurrentLoad); same {
			if m.check(&e); e.errs == nil {
				b[0].e, b[0].set = m.LoadA, m.kneeV()
			}
		}
	case PowerLoad:
		if _, same = old.(PowerLoad); same {
			if m.check(&e); e.errs == nil {
				b[0].e, b[0].set = m.LoadW, m.BrownOutV
			}
		}
	}
	if !same {
		return fmt.Errorf("part %q, a %T, cannot be set to that model", part, old)
	}
	return errors.Join(e.errs...)
}
