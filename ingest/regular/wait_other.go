//go:build !unix

package regular

// doNotWait is nothing where named pipes have no place among files.
const doNotWait = 0
