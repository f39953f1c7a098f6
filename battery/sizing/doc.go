// Package sizing turns a pack and a load into days without sun, and days
// without sun into a pack: capacity by temperature, rate and age, autonomy, the
// worksheet of stand-alone systems, hours of charging in the cold and what
// blocking it costs, and the fuse at the pack.
package sizing
