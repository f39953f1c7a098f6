package main

import (
	"fmt"
	"os/exec"
)

// A comparison sets the module beside other libraries on the same work.
type comparison struct {
	title  string
	work   string // what is done with which input
	result string // heading of the column of results
	differ string // heading of the column of differences
	rows   []entry
	absent []string // what was not measured, and why
}

// An entry is one way to do the work.
type entry struct {
	by      string
	result  string
	differs string
	ns      float64 // for one piece of the work
	note    string  // what it does more or less
	base    int     // row that the ratio is to: ours
}

func (c *comparison) missing(format string, args ...any) {
	c.absent = append(c.absent, fmt.Sprintf(format, args...))
}

// tool finds the first of several names of a program.
func tool(names ...string) (path string, ok bool) {
	for _, n := range names {
		if p, err := exec.LookPath(n); err == nil {
			return p, true
		}
	}
	return "", false
}

func compareAll() []*comparison {
	return []*comparison{compareSun(), compareLadder(), compareNetworks(), compareVapour()}
}
