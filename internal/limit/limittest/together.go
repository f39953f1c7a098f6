package limittest

import (
	"reflect"
	"sync"
	"testing"
)

// Together asks what a doc comment promises of a value that goroutines may
// share: eight of them, begun at once, call f a few times each, and all get the
// same. f uses the shared value and makes of its own what is not to be shared.
// Under the race detector a write to what is shared fails the test.
func Together(t testing.TB, f func() any) {
	t.Helper()
	const goroutines, calls = 8, 3
	var all [goroutines][calls]any
	var wg sync.WaitGroup
	start := make(chan struct{})
	for i := range goroutines {
		wg.Add(1)
		go func() {
			defer wg.Done()
			<-start
			for k := range calls {
				all[i][k] = f()
			}
		}()
	}
	close(start)
	wg.Wait()
	want := f()
	for i := range all {
		for k, got := range all[i] {
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("call %d of goroutine %d gives %v, alone it is %v", k, i, got, want)
			}
		}
	}
}
