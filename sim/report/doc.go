// Package report turns answers into text, HTML and pictures. It computes nothing:
// every figure is one that futures or measure found.
package report
