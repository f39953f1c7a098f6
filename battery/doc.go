// Package battery answers what a pack may see, what it will see, how much is in
// it in the cold, and how a setting of its charger stands to it.
package battery
