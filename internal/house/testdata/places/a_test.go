package a

import "testing"

func Test(t *testing.T) {
	_ = Sides(11, 11) // the width is made but not returned
	_ = Sides(1, 12)
	_ = Depth(11)
	_ = Young(11)
	_ = Kept()
	_ = Swallow()
	_ = Conflict()
	_ = Never(false)
	_ = Reason()
	_ = Inside(3)
	_ = Number(7)
	_ = Open("/nowhere/at/all")
}
