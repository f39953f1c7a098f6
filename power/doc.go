// Package power computes the parts of a small direct-current supply one at a
// time: a linear regulator, a diode, a switching converter, a solar charger and
// the rhythm of a load. Each is a value made once from the numbers of its data
// sheet, validated then, and asked afterwards for its operating point.
//
//	Linear           min(set, input - dropout); heat (Vin-Vout)·I + Vin·Iq; limiting by current and by temperature
//	Diode            Shockley equation with series resistance and temperature, or through two points of a sheet
//	Converter        a sheet's efficiency curve with idle current and headroom; BreakEvenA against a linear part
//	Charger          input hold voltage, set-point, current limit; a pack that tapers; a panel off its best voltage
//	Load             asleep, awake, peak, retry: mean, peak, per day, and through a supply's efficiency at each
//
// Limits are always inputs. A family number such as 1117 covers parts whose
// largest input ranges from 7 to 20 V; package power/parts lists some sheets.
// States are results: a regulator in dropout is not one that regulates badly,
// and a part above its maximum input answers OverMaximum with the numbers it
// would have had it survived.
//
// Subpackages: power/chain joins parts to a circuit and breaks them one by one;
// power/trim sets an output by a divider; power/switching builds a converter
// from its components; power/blocking weighs the part that stops a pack from
// discharging at night; power/wiring has wires, fuses, hold-up capacitors and
// hot-plugging; power/bus has pull-ups, contacts and analogue inputs.
//
// Not covered here: what heats what (package thermal), cells (package battery),
// the panel's curve (package solar/panel), start-up, stability of regulation
// loops, noise and transients other than those of power/wiring.
//
// Sources: definitions by Kirchhoff's laws; the diode's laws are those of
// circuit simulators and were checked against ngspice 39; data sheets and
// application notes as listed in testdata/SOURCES.md.
//
// Accuracy, measured by the tests:
//
//	linear operating point against ngspice 39   1e-11 V and A
//	diode voltage against ngspice 39            4e-7 V (the simulator's older constants), -40..85 °C
//	worked examples of data sheets              half their last digit
//	share of a panel's power at a held voltage  0.02 below the best voltage, 0.12 above
//
// The models are worst where the parts are: sheet limits spread by a factor of
// three, dropout grows with temperature, the loss of a converter at an input
// other than that of its curve is taken as unchanged.
//
// A regulator, charger or wire that carries a fault can get hot enough to burn:
// surfaces above about 60 °C burn skin (ISO 13732-1, from memory), and a short
// circuit across a pack has no current limit but the fuse. Results are
// arithmetic on the numbers given, not an inspection.
package power
