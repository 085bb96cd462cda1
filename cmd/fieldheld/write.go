package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/report/seal/evidence"
	"fieldheld/report/seal/issue"
)

// carriedFlags are the flags that say how much of the evidence a report carries.
type carriedFlags struct {
	level string
	limit int64 // MB
}

func (c *carriedFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&c.level, "evidence", string(evidence.Files), "what the report carries as attachments: "+levelNames())
	cmd.Flags().Int64Var(&c.limit, "evidence-limit", evidence.DefaultLimit>>20, "size of all input files, in `MB`, above which it carries hashes only")
}

func levelNames() string {
	var names []string
	for _, level := range evidence.Levels() {
		names = append(names, string(level))
	}
	return strings.Join(names, ", ")
}

// carried checks the flags and returns what they ask for.
func (c *carriedFlags) carried() (issue.Carried, error) {
	if c.limit < 0 {
		return issue.Carried{}, fmt.Errorf("--evidence-limit %d is below zero", c.limit)
	}
	for _, level := range evidence.Levels() {
		if string(level) == c.level {
			return issue.Carried{Level: level, Limit: c.limit << 20}, nil
		}
	}
	return issue.Carried{}, fmt.Errorf("--evidence %s is not known; choose one of %s", c.level, levelNames())
}
