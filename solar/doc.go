// Package solar gives the place of the sun in the sky, its daily events and the
// skyline that hides it.
package solar
