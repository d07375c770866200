// Package decl reads the declarative part of a script: blocks such as
//
//	upset "stand wreck" {
//	  unit = "finishing train", at = "2031-11-07 22:40",
//	  lasts = lognormal { median = "11 h", one_in_ten = "26 h" },
//	}
//
// It knows neither the blocks nor their keys; the caller registers the blocks
// with a [Language] and decodes the [Table] it is handed. A table knows the
// file and line of every key, so that each wrong value is reported where it
// stands, with what to write instead. Wrong values do not stop the reading:
// they are collected as [Problems], so that a file is mended in one go.
//
// A key that is a word of Lua is written with an underscore behind it (for_);
// tables have it without.
package decl
