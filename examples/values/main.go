// Values prints some fifteen thousand results of every physics package and of a
// station year, each with its bits, and compares what two machines printed.
//
//	go run ./examples/values > here.txt
//	go run ./examples/values -compare here.txt there.txt
//
// A line is a package, a name and a hexadecimal floating-point number, between
// tabs; docs/portability.md has what was found. Whoever carries a formula to
// another language or device has checks in it for inputs over the whole range.
//
// It ends with status 1 if the outputs differ by more than the bound, and with
// status 2 if they cannot be compared.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, complaints io.Writer) int {
	fs := flag.NewFlagSet("values", flag.ContinueOnError)
	fs.SetOutput(complaints)
	two := fs.Bool("compare", false, "compare two outputs")
	fs.Usage = func() {
		fmt.Fprintln(complaints, "usage: values\n       values -compare first.txt second.txt")
		fs.PrintDefaults()
	}
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	if *two && fs.NArg() != 2 || !*two && fs.NArg() != 0 {
		fs.Usage()
		return 2
	}
	var err error
	within := true
	if *two {
		within, err = compareFiles(out, fs.Arg(0), fs.Arg(1))
	} else {
		err = printAll(out)
	}
	switch {
	case err != nil:
		fmt.Fprintln(complaints, err)
		return 2
	case !within:
		return 1
	}
	return 0
}

func printAll(out io.Writer) error {
	numbers, err := all()
	if err != nil {
		return err
	}
	return write(out, numbers)
}

// all computes every number.
func all() ([]number, error) {
	var l list
	for _, add := range []func(*list){
		psychroNumbers, baroNumbers, solarNumbers, skyNumbers, panelNumbers, windNumbers, rainNumbers, powerNumbers, powerPartsNumbers, chainNumbers,
		thermalNumbers, transientNumbers, batteryNumbers, batteryPartsNumbers, stationNumbers,
	} {
		if add(&l); l.err != nil {
			return nil, l.err
		}
	}
	return l.numbers, nil
}

func compareFiles(out io.Writer, first, second string) (within bool, err error) {
	var sides [2][]number
	for i, name := range []string{first, second} {
		f, err := os.Open(name)
		if err != nil {
			return false, err
		}
		sides[i], err = read(f, name)
		f.Close()
		if err != nil {
			return false, err
		}
	}
	c, err := compare(sides[0], sides[1])
	if err != nil {
		return false, err
	}
	return c.report(out)
}
