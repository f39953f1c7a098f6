// Package power computes the parts of a small direct-current supply.
package power
