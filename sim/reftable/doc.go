// Package reftable reads the tables of published and independently computed values
// that lie in the testdata folder beside a package's tests, and compares with them.
// Only tests use it.
//
// A table is CSV: comment lines (#) that cite the source, a line of column names, then
// rows, all of as many columns; a short one may leave out the last ones.
package reftable
