package main

import (
	"io"
	"time"

	"github.com/rs/zerolog"
	"github.com/spf13/cobra"
)

// logFlag is the level below which the program keeps its working notes to itself.
const logFlag = "log-level"

// levels are the words for --log-level.
var levels = []string{"debug", "info", "warn", "error", "off"}

// logger writes working notes (files read, how long things took) to standard error,
// one JSON object a line; results never go there.
func logger(c *cobra.Command) zerolog.Logger {
	text, _ := c.Flags().GetString(logFlag)
	level, err := parseLevel(text)
	if err != nil {
		level = zerolog.WarnLevel
	}
	return newLogger(c.ErrOrStderr(), level)
}

func newLogger(w io.Writer, level zerolog.Level) zerolog.Logger {
	zerolog.TimeFieldFormat = time.RFC3339Nano
	zerolog.DurationFieldUnit = time.Millisecond
	return zerolog.New(w).Level(level).With().Timestamp().Logger()
}

func parseLevel(text string) (zerolog.Level, error) {
	if text == "off" {
		return zerolog.Disabled, nil
	}
	for _, l := range levels {
		if text == l {
			return zerolog.ParseLevel(text)
		}
	}
	return zerolog.NoLevel, badInput("--%s: there is no level %q%s\n  levels: %s", logFlag, text, near(text, levels), list(levels))
}
