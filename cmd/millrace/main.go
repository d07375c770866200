// Command millrace answers the questions of the operations manager of a flat-steel
// works when a unit stops: how long have we got, and which plan costs least?
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"

	"millrace/scripting/decl"
)

// Exit codes.
const (
	exitDone      = 0
	exitFailed    = 1 // the run failed
	exitInput     = 2 // the input is wrong
	exitUndecided = 3 // a scenario's own expectation is undecided
)

// version is set at release; a build from a checkout says what it is.
var version = "0.1.0"

func main() { os.Exit(Main(os.Args[1:], os.Stdout, os.Stderr)) }

// inputError marks an error as the user's input: exit code 2.
type inputError struct{ err error }

func (e *inputError) Error() string { return e.err.Error() }
func (e *inputError) Unwrap() error { return e.err }

func badInput(format string, a ...any) error { return &inputError{fmt.Errorf(format, a...)} }

// undecided marks an outcome that an expectation could not be held against.
type undecided struct{ msg string }

func (e *undecided) Error() string { return e.msg }

// Main runs the command and returns its exit code. It is the only place that
// turns an error into a code and into what people read.
func Main(args []string, stdout, stderr io.Writer) (code int) {
	defer func() {
		// A bug must not end in a stack trace on somebody's screen at night.
		if r := recover(); r != nil {
			if os.Getenv("MILLRACE_TRACE") != "" {
				panic(r)
			}
			fmt.Fprintf(stderr, "millrace: internal error: %v\n  nothing was written; set MILLRACE_TRACE=1 and run it again to see where\n", r)
			code = exitFailed
		}
	}()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := newRoot(stdout, stderr)
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := firstWord(root, args)
	if err == nil {
		err = root.ExecuteContext(ctx)
	}
	if err == nil {
		return exitDone
	}
	var und *undecided
	if errors.As(err, &und) {
		fmt.Fprintln(stderr, "millrace:", und.msg)
		return exitUndecided
	}
	var in *inputError
	var problems decl.Problems
	var usage *usageError
	switch {
	case errors.As(err, &problems), isScriptError(err):
		fmt.Fprintln(stderr, err)
		return exitInput
	case errors.As(err, &usage):
		fmt.Fprintf(stderr, "millrace: %v\n  see: millrace help%s\n", usage.err, usage.path)
		return exitInput
	case errors.As(err, &in):
		fmt.Fprintln(stderr, "millrace:", err)
		return exitInput
	}
	fmt.Fprintln(stderr, "millrace:", err)
	return exitFailed
}

// usageError is a flag or an argument that cannot be used.
type usageError struct {
	err  error
	path string
}

func (e *usageError) Error() string { return e.err.Error() }

func newRoot(stdout, stderr io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "millrace",
		Short: "How long have we got, and which plan costs least, when a unit of the works stops?",
		Long: `millrace plays a flat-steel works forward from a stop: liquid steel that cannot
wait, slabs in the furnaces, coils that must cool. It says what fills and runs dry
and by when choices must be made, and compares recovery plans over many futures.

It plans and trains. It never controls plant and is no work permit: isolate and
lock out; local codes, site procedures and licensed practice decide.`,
		SilenceUsage: true, SilenceErrors: true, Version: version,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetVersionTemplate("millrace {{.Version}}\n")
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return &usageError{err: flagHint(c, err), path: pathOf(c)}
	})
	root.PersistentFlags().String(logFlag, "warn", "working notes on standard error: debug, info, warn, error, off")
	root.PersistentPreRunE = func(c *cobra.Command, _ []string) error {
		text, _ := c.Flags().GetString(logFlag)
		_, err := parseLevel(text)
		return err
	}
	upsets := newUpsets()
	root.AddCommand(newHowLong(), newCompare(), newCase(), newRun(), newCheck(), newRoute(), newDrill(), upsets, newVersion())
	helpOnUpsets(root, upsets)
	for _, c := range root.Commands() {
		if check := c.Args; check != nil {
			c.Args = func(c *cobra.Command, args []string) error {
				if err := check(c, args); err != nil {
					return &usageError{err: argsHint(c, args), path: pathOf(c)}
				}
				return nil
			}
		}
	}
	return root
}

// firstWord refuses a first word that is no command, before its flags are looked
// at: those belong to the command that was meant.
func firstWord(root *cobra.Command, args []string) error {
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd(args...)
	at := 0
	if len(args) > 1 && args[0] == "help" {
		at = 1
	}
	if at >= len(args) || strings.HasPrefix(args[at], "-") || strings.HasPrefix(args[at], cobra.ShellCompRequestCmd) {
		return nil
	}
	if c, _, err := root.Find(args[at:]); err == nil && c != root {
		return nil
	}
	return &usageError{err: commandHint(root, args[at])}
}

func pathOf(c *cobra.Command) string {
	return strings.TrimPrefix(c.CommandPath(), "millrace")
}
