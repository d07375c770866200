package main

import (
	"errors"
	"io/fs"
	"os"

	"millrace/scripting"
	"millrace/sim/files"
	"millrace/sim/futures"
	"millrace/sim/record"
	"millrace/sim/report"
)

// runFolder plays one run and keeps it in a folder of its own, whole or not at all:
// the files it was made from, the result, its tables, the page, and the log of all
// events where asked for.
func runFolder(dir string, events bool, s *scripting.Scenario, x report.Extra, play func(record.Sink) (*futures.Result, error)) (r *futures.Result, err error) {
	err = files.WriteRunFolder(dir, func(d *files.Folder) error {
		var log record.Sink
		if events {
			var err error
			if log, err = d.Events(&s.Works.Plant.Route); err != nil {
				return err
			}
		}
		var err error
		if r, err = play(log); err != nil {
			return err
		}
		for _, in := range s.Files {
			if err := d.Input(in.Name, in.Data); err != nil {
				return err
			}
		}
		if err := d.JSON("result.json", r); err != nil {
			return err
		}
		for _, t := range report.RunTables(r, x.Currency) {
			if err := d.Table(t.Name+".csv", t.Header, t.Rows); err != nil {
				return err
			}
		}
		page, err := report.RunHTML(r, x)
		if err != nil {
			return err
		}
		return d.Write("report.html", page)
	})
	return r, err
}

// freeFolder refuses a folder that is there already, before anything is played.
func freeFolder(dir string) error {
	if _, err := os.Lstat(dir); err == nil {
		return badInput("--out: %s exists already; give a folder that does not, nothing is overwritten", dir)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return badInput("--out: %v", err)
	}
	return nil
}
