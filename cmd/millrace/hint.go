package main

import (
	"errors"
	"fmt"
	"regexp"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"millrace/scripting/sandbox"
	"millrace/sim/quantity"
)

var unknownFlag = regexp.MustCompile(`unknown flag: --([a-zA-Z0-9-]+)`)

// flagHint adds the nearest flag to an unknown one.
func flagHint(c *cobra.Command, err error) error {
	m := unknownFlag.FindStringSubmatch(err.Error())
	if m == nil {
		return err
	}
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near, ok := quantity.Nearest(m[1], names); ok {
		return fmt.Errorf("there is no flag --%s; did you mean --%s?", m[1], near)
	}
	return fmt.Errorf("there is no flag --%s", m[1])
}

// isScriptError says whether the error lies in a script: it carries file and line.
func isScriptError(err error) bool {
	var e *sandbox.Error
	return errors.As(err, &e)
}

// near is the end of a message that names the nearest valid word.
func near(word string, valid []string) string {
	if n, ok := quantity.Nearest(word, valid); ok {
		return fmt.Sprintf("; did you mean %q?", n)
	}
	return ""
}
