// Package bench judges a bench test of a linear regulator: a table of input and
// output voltage, load, tab and room temperature against the part's sheet.
package bench
