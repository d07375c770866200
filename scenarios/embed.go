// Package scenarios holds the works and scenarios that come with the program.
// Larkfell is invented: it stands for no works that exists.
package scenarios

import "embed"

// FS holds the files: larkfell/works.lua, the scenarios beside it and their
// tables.
//
//go:embed larkfell
var FS embed.FS
