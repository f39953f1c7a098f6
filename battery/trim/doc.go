// Package trim says what to set a charger to for a pack, and what a setting
// that is already there means.
package trim
