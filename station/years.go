package station

import (
	"context"
	"math"
	"runtime"
	"sync"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// An Outcome is what one seeded year came to.
type Outcome struct {
	Seed         uint64  // of weather and snow
	LostH        float64 // hours without service
	LongestLostH float64 // longest run of them
	RestartCount int     // starts after an outage
	LowestSoC    float64 // lowest state of charge, 0..1
	FrostChargeH float64 // hours of charging with the cells below their charge window
	WorstMonth   time.Month
	OfferedRatio float64 // in the worst month, offered energy over need
}

func outcomeOf(seed uint64, y *Year) Outcome {
	month, ratio := y.WorstMonth()
	return Outcome{Seed: seed, LostH: y.LostH, LongestLostH: y.LongestLostH, RestartCount: y.RestartCount, LowestSoC: y.LowestSoC,
		FrostChargeH: y.FrostChargeH, WorstMonth: month, OfferedRatio: ratio}
}

// yearsRange bounds how many years are run: a hundred thousand take days.
var yearsRange = limit.Range{Quantity: "number of years", Min: 0, Max: 100_000}

// Plan says which years to run.
type Plan struct {
	FirstSeed uint64                // of the first year; each further one has the next
	Years     int                   // how many, 0..100000
	Done      []Outcome             // of an earlier, interrupted run; their seeds are not run again
	Progress  func(done, total int) // called after each year, from one goroutine at a time; may be nil
	Workers   int                   // goroutines; 0 for one a core
}

// Years runs many synthetic years, in parallel, and returns their outcomes in
// the order of their seeds: the same whatever the number of cores. Cancelled by
// its context it returns what is done together with the context's error, to be
// handed in as Plan.Done later; a *MissingError names the lines that the
// description lacks, a *stationphysics.RangeError a number of years out of range.
// The years share one table of monthly means:
// what differs is the order of dark and clear days and the days with snow, not
// whether a December is a dark one.
func (p *Model) Years(ctx context.Context, plan Plan) ([]Outcome, error) {
	if miss := append(p.Missing(), p.ClimateMissing()...); len(miss) > 0 {
		return nil, &MissingError{For: "many years", Keys: unique(miss)}
	}
	if err := yearsRange.Check(float64(plan.Years)); err != nil {
		return nil, err
	}
	out := make([]Outcome, plan.Years)
	done := make([]bool, plan.Years)
	have := 0
	for _, o := range plan.Done {
		if i := o.Seed - plan.FirstSeed; i < uint64(plan.Years) && !done[i] {
			out[i], done[i] = o, true
			have++
		}
	}
	var mu sync.Mutex
	err := inParallel(ctx, plan.Workers, plan.Years, func(i int) error {
		if done[i] {
			return nil
		}
		seed := plan.FirstSeed + uint64(i)
		w, err := p.Synthetic(seed)
		if err != nil {
			return err
		}
		sun, err := p.Sunlight(w)
		if err != nil {
			return err
		}
		y, err := p.Run(sun, seed)
		if err != nil {
			return err
		}
		mu.Lock()
		defer mu.Unlock()
		out[i], done[i] = outcomeOf(seed, y), true
		have++
		if plan.Progress != nil {
			plan.Progress(have, plan.Years)
		}
		return nil
	})
	if err != nil {
		kept := out[:0]
		for i, o := range out {
			if done[i] {
				kept = append(kept, o)
			}
		}
		return kept, err
	}
	return out, nil
}

// inParallel calls f for 0..n-1 from several goroutines until all are done, one
// fails or the context ends. It returns the error of the lowest index.
func inParallel(ctx context.Context, workers, n int, f func(i int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	next := make(chan int)
	errs := make([]error, n)
	var wg sync.WaitGroup
	for range min(workers, max(n, 1)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				if errs[i] = f(i); errs[i] != nil {
					cancel()
				}
			}
		}()
	}
feed:
	for i := range n {
		select {
		case next <- i:
		case <-ctx.Done():
			break feed
		}
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

func unique(keys []string) []string {
	seen := map[string]bool{}
	out := keys[:0:0]
	for _, k := range keys {
		if !seen[k] {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}

// A Share is a share of some years with its 95 % confidence interval.
type Share struct {
	Frac              float64 // as counted
	LowFrac, HighFrac float64 // ends of the interval
}

// FailShare is the share of years with more than acceptedH hours without
// service, and its 95 % confidence interval (Wilson 1927, Journal of the
// American Statistical Association 22:209). Without years it is NaN. What is not known
// to be within the accepted hours, for a NaN, counts as failed.
func FailShare(years []Outcome, acceptedH float64) Share {
	n := float64(len(years))
	k := 0.0
	for _, y := range years {
		if !(y.LostH <= acceptedH) {
			k++
		}
	}
	const z = 1.959964 // standard normal, 97.5 %
	p := k / n
	mid := (p + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	// Rounding must not leave the share outside: without a failure low is 0.
	return Share{Frac: p, LowFrac: math.Min(p, math.Max(0, mid-half)), HighFrac: math.Max(p, math.Min(1, mid+half))}
}
