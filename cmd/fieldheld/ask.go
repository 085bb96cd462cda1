package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
)

// asker asks questions on a terminal.
type asker struct {
	in    *bufio.Reader
	out   io.Writer
	given func(flag string) bool // whether a flag answers already
}

// question is one answer that is asked for.
type question struct {
	flag, text string
	answer     *string
}

// ask asks what the flags of new do not say.
func (f *newFlags) ask(a asker, dir string) error {
	date, err := testDate(f.date, dir)
	if err != nil {
		return err
	}
	f.date = date.Format(time.DateOnly)
	err = a.all([]question{
		{"date", "date of the test [" + f.date + "]", &f.date},
		{"number", "number of the report", &f.answers.Number},
		{"like", "a former day whose setup is kept (its folder)", &f.like},
	})
	if err != nil || f.like != "" {
		return err
	}
	questions := []question{
		{"article", "name of the equipment under test", &f.answers.Article},
		{"customer", "name of the customer", &f.answers.Customer},
		{"laboratory", "name of the laboratory", &f.answers.Laboratory},
		{"zone", "time zone, such as Europe/Oslo", &f.answers.TimeZone},
		{"register", "file with the list of equipment", &f.register},
	}
	if f.requirementFile == "" {
		questions = append(questions, question{"profile", "built-in requirement (fieldheld requirements lists them)", &f.answers.Profile})
	}
	return a.all(questions)
}

// all asks those questions whose flags are not given. An empty answer, or the end
// of the input, leaves an answer as it is.
func (a asker) all(questions []question) error {
	for _, q := range questions {
		if a.given(q.flag) {
			continue
		}
		if _, err := fmt.Fprint(a.out, q.text+": "); err != nil {
			return err
		}
		line, err := a.in.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("reading an answer: %w", err)
		}
		if answer := strings.TrimSpace(line); answer != "" {
			*q.answer = answer
		}
	}
	return nil
}
