package main

import "time"

// effort is how long one piece of work is timed.
var effort = time.Second

// quickest times f, which does the work calls times, again and again and
// returns the shortest time of one piece in nanoseconds: what the code costs
// when nothing comes between. A batch should last some 20 µs to 2 ms, longer
// than the clock's grain and shorter than a time slice.
func quickest(calls int, f func()) (ns float64) {
	f()
	for begin := time.Now(); ; {
		t := time.Now()
		f()
		one := float64(time.Since(t).Nanoseconds()) / float64(calls)
		if ns == 0 || one < ns {
			ns = one
		}
		if time.Since(begin) > effort {
			return ns
		}
	}
}
