// Package files writes what a run leaves behind, and reads it again: the run
// folder, whole or not at all, its tables as CSV and the log of all events.
//
// # The run folder
//
//	inputs/...        the files the run was made from
//	comparison.json   the answer, as printed with --json
//	report.html       the answer to look at
//	measures.csv ...  tables
//	events.ndjson.gz  the log, where asked for
//	checksums.txt     SHA-256 of all of them
//
// checksums.txt has the lines that the coreutils program sha256sum writes, so
// that "sha256sum -c checksums.txt" checks a folder; Verify does the same.
package files
