package main

import (
	"os"
	"runtime"
	"strconv"
	"strings"
)

// A machine is what a time depends on besides the code.
type machine struct {
	cpu, goVersion, system string
	cores                  int
	memoryGB               float64 // 0 if it is not told
}

func thisMachine() machine {
	m := machine{cpu: runtime.GOARCH, goVersion: runtime.Version(), system: runtime.GOOS + "/" + runtime.GOARCH, cores: runtime.NumCPU()}
	if b, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		if s := field(string(b), "model name"); s != "" {
			m.cpu = s
		}
	}
	if b, err := os.ReadFile("/proc/meminfo"); err == nil {
		kB, _, _ := strings.Cut(field(string(b), "MemTotal"), " ")
		if x, err := strconv.ParseFloat(kB, 64); err == nil {
			m.memoryGB = x / 1e6
		}
	}
	return m
}

// field is what follows "key:" on the first line that begins with the key.
func field(text, key string) string {
	for line := range strings.Lines(text) {
		k, v, ok := strings.Cut(line, ":")
		if ok && strings.TrimSpace(k) == key {
			return strings.TrimSpace(v)
		}
	}
	return ""
}

// A load counts processor time in ticks since the machine and this process
// began.
type load struct {
	busy, all float64 // of all processes, on all cores
	own       float64 // of this process and the children it waited for
}

// loadNow reads the counters of Linux; elsewhere ok is false.
func loadNow() (l load, ok bool) {
	stat, err1 := os.ReadFile("/proc/stat")
	self, err2 := os.ReadFile("/proc/self/stat")
	if err1 != nil || err2 != nil {
		return load{}, false
	}
	return parseLoad(string(stat), string(self))
}

// parseLoad reads /proc/stat (user, nice, system, idle, iowait, irq, softirq,
// steal) and /proc/self/stat (fields 14 to 17: user and system time of the
// process and of its children), proc(5).
func parseLoad(stat, self string) (l load, ok bool) {
	line, _, _ := strings.Cut(stat, "\n")
	f := strings.Fields(line)
	if len(f) < 9 || f[0] != "cpu" {
		return load{}, false
	}
	for i, s := range f[1:9] {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return load{}, false
		}
		l.all += x
		if i != 3 && i != 4 {
			l.busy += x
		}
	}
	// The name of the command, in parentheses, may hold spaces.
	f = strings.Fields(self[strings.LastIndexByte(self, ')')+1:])
	if len(f) < 15 {
		return load{}, false
	}
	for _, s := range f[11:15] {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return load{}, false
		}
		l.own += x
	}
	return l, true
}

// others is the share of the machine's processor time between two moments that
// went to other programs.
func others(from, to load) (share float64) {
	if !(to.all > from.all) {
		return 0
	}
	return max(0, (to.busy-from.busy)-(to.own-from.own)) / (to.all - from.all)
}
