// Package chain solves a supply chain and tries its single faults.
package chain
