package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "version", Short: "Version of the program", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			v := struct {
				Version  string `json:"version"`
				Revision string `json:"revision,omitempty"`
				Go       string `json:"go"`
				Platform string `json:"platform"`
			}{version, revision(), runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}
			if asJSON {
				return printJSON(c, v)
			}
			of := v.Version
			if v.Revision != "" {
				of += " " + v.Revision
			}
			_, err := fmt.Fprintf(c.OutOrStdout(), "millrace %s, %s %s\n", of, v.Go, v.Platform)
			return err
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	return c
}

// revision is the version control revision the program was built from, if known.
func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	rev, dirty := "", ""
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			rev = s.Value
		case "vcs.modified":
			if s.Value == "true" {
				dirty = "+"
			}
		}
	}
	if len(rev) > 12 {
		rev = rev[:12]
	}
	return rev + dirty
}
