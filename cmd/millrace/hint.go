package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"millrace/scripting/sandbox"
	"millrace/sim/quantity"
)

// flagHint says what is wrong with a flag and what to write.
func flagHint(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var value *pflag.InvalidValueError
	var missing *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() == "":
		var names []string
		c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near, ok := quantity.Nearest(unknown.GetSpecifiedName(), names); ok {
			return fmt.Errorf("there is no flag --%s; did you mean --%s?", unknown.GetSpecifiedName(), near)
		}
		return fmt.Errorf("there is no flag --%s", unknown.GetSpecifiedName())
	case errors.As(err, &unknown):
		return fmt.Errorf("there is no flag -%s; flags are words with two dashes, --json", unknown.GetSpecifiedShortnames())
	case errors.As(err, &value):
		return fmt.Errorf("--%s: %q is not %s", value.GetFlag().Name, value.GetValue(), flagKinds[value.GetFlag().Value.Type()])
	case errors.As(err, &missing):
		return fmt.Errorf("--%s: its value is missing: %s", missing.GetSpecifiedName(), missing.GetFlag().Usage)
	}
	return err
}

// flagKinds says in words what a flag of a type takes.
var flagKinds = map[string]string{
	"int":     "a whole number",
	"uint64":  "a whole number from 0 to 18446744073709551615",
	"float64": "a number",
	"bool":    "true or false; leave the value out to switch it on",
}

// argsHint says what is wrong with the arguments of a command, of which Use gives
// the names.
func argsHint(c *cobra.Command, args []string) error {
	want := strings.Fields(c.Use)[1:]
	switch {
	case len(args) < len(want):
		return fmt.Errorf("%s: its %s is missing", c.Name(), want[len(args)])
	case len(want) == 0:
		return fmt.Errorf("%s takes nothing but flags, and %q is none", c.Name(), args[0])
	}
	return fmt.Errorf("%s takes one %s, and %q is too much; a name with spaces needs quotation marks", c.Name(), want[0], args[len(want)])
}

// commandHint names the commands when the first word is none.
func commandHint(root *cobra.Command, word string) error {
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	slices.Sort(names)
	return fmt.Errorf("there is no command %q%s\n  commands: %s", word, near(word, names), strings.Join(names, ", "))
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
