// Package thermal follows heat from a junction to the air.
package thermal
