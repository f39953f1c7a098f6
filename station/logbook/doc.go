// Package logbook reads the log of a weather station.
package logbook
