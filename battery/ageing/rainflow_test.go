package ageing

import (
	"fmt"
	"testing"
)

func TestX(t *testing.T) {
	for _, c := range Rainflow(nil, []float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}) {
		fmt.Println(c)
	}
	fmt.Println(CycleLossPct(2000, 23, 1), CalendarLossPct(885/365.25, 25, .5), CalendarLossPct(10, 15, .7))
	ta, _ := NewTally(1.5)
	for i := 0; i < 8766; i++ {
		cur := .02
		if i%24 > 11 {
			cur = -.02
		}
		ta.Add(.7, 15, cur, 3600)
	}
	fmt.Println(ta.LossPct(1))
	fmt.Println(ta.YearsTo(20), ta.FullCycles(), ta.Years())
}
