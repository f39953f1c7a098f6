// Package chain solves the supply chain of a small station as one circuit and
// tries every single fault on it: which voltage and power then stand at which
// node, what survives, what is lost, what cannot be told, along which path the
// harm comes, and which barrier would stop it.
//
// # A circuit
//
// A circuit is a table of parts between named nodes, read in the direction of
// supply, and a table of what each thing at a node stands:
//
//	c, err := chain.New([]chain.Part{
//		{"panel", "", "array", chain.Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1.1}},
//		{"D1", "array", "bus", chain.Diode{SaturationA: 2e-7, Ideality: 1.05, JunctionC: 25}},
//		{"pack", "", "bus", chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
//		{"U2", "bus", "3V3", chain.Linear{SetV: 3.3, DropoutV: 0.3, ShortOhm: 0.5}},
//		{"radio", "3V3", "", chain.PowerLoad{LoadW: 0.3, BrownOutV: 3}},
//	}, []chain.Limit{
//		{Node: "3V3", Item: "radio", WorkV: 3.45, MaxV: 3.6},
//	})
//
// New checks everything at once and names what is wrong. Circuit.Solve gives the
// operating point, Circuit.Survey the table of faults. A Workspace does both
// again and again: a solution then allocates nothing, and Workspace.Set changes
// the sun, the charge of the pack and the loads in between.
//
// # What is computed
//
// The DC operating point by nodal analysis: Kirchhoff's current law for each
// node, a law for each part, solved by Newton's method. Parts with several
// regimes (regulating, out of headroom, limiting, holding their input, off,
// feeding back) follow the law of the regime that holds. Where Newton's method
// goes astray among the regimes they are blended over volts by the smoothing
// function of Chen, Harker, Kanzow and Smale, every node is tied by a
// conductance, and both are narrowed to nothing; several ways of doing that are
// tried in a fixed order. Constant power has two operating points or none; they
// are looked for from high voltages downwards, so that a circuit that can be
// found running usually is. If a load's power is out of reach, it is down: a
// resistance, as PowerLoad says. Equal input gives equal output.
//
// Of 40 000 circuits drawn at random, with one or more sources, parts in either
// direction and regulators that feed each other in chains and loops, every point
// was found, without a fault and with each single fault, some 390 000 in all. Of
// 7800 points of a station of thirteen nodes with every value varied and every
// fault tried, all were found, seven in eight by Newton's method alone. Should a
// circuit have no point, an error names the node where the search went wrong.
//
// A loop of parts without any resistance has no solution and is refused with
// the names of its nodes, as are nodes that nothing ties to the return.
// A node that a fault or an open link cuts off from everything reads zero.
//
// # Faults
//
// Circuit.Faults lists them: pass element short, switch short, diode short and
// open, trimmer wiper open, link wrongly fitted and missing, adapter
// unregulated, pack disconnected from its charger. One at a time; two faults
// together are outside a single-fault analysis, and a part whose failure
// overloads another is seen only through that other's limit. The table is in
// the terms of IEC 60812 (failure modes and effects analysis): item, failure
// mode, local effect, end effect, detection, compensating provision.
//
// A verdict needs a limit. Where the absolute maximum is missing and the
// voltage rises, the verdict is CannotTell with the reason. Where the fault's
// own data are missing (the output with the wiper open, the charger's output
// without a pack) the worst is taken, all that the input allows: what survives
// that survives, what does not cannot be told.
//
// A barrier is a fuse and a clamp. The clamp belongs between the working and
// the damage voltage of its node; it has to live until the fuse is sure to have
// opened (Fuse.OpensWithinS) or bear the fault for good.
//
// # Not covered
//
// Anything that moves: inrush and hot-plug overshoot, start-up, hiccup and
// foldback, the charge of the pack. A regulator's law is that of its regimes,
// not of its loop. Heat is watts here, without temperatures.
//
// # Accuracy
//
//	panel, wire, diode, regulator, load (24 points)    1e-6 V of ngspice 39 (largest difference 1.5e-7 V)
//	two sources through diodes (16)                    1e-6 V of ngspice 39
//	panel into a step-down converter (15)              1e-6 V of ngspice 39
//	constant power and current loads (12)              1e-6 V of ngspice 39
//	sum of the currents of a node, of all powers       1e-9 A, 1e-9 W, or 1e-15 of the largest
//
// A picoampere is not seen: an unloaded node behind a diode whose saturation current is
// that small may stand some of its thermal voltages too low, where the exact answer has
// no current and no drop.
//
// Sources and clamps without resistance pass the last digits of their gigaamperes on to
// the currents around them. Beyond 1e13 A, which only diodes and panels without series
// resistance at a source that does not yield reach, there is an error instead.
//
// A resistance of 1 nohm in every regulator, adapter, clamp and ideal diode lets
// equal ones share a load.
//
// # Safety
//
// The results are arithmetic on the numbers given, not an inspection. A pack
// belongs behind a fuse at its terminal, whatever this package says of the
// circuit beyond; a mains adapter outdoors behind a protected supply in a rated
// enclosure, by local code and, where that asks for it, by a licensed
// electrician.
package chain
