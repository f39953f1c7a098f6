// Package psychro computes moist air as a real gas.
package psychro
