// Command fieldheld checks a day of radiated-susceptibility testing and writes
// the test report that proves it.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
