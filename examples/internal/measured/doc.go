// Package measured holds how the example programs tell what was measured: values with
// as many digits as their intervals bear, reasons, tables for people and for programs;
// and how they read names of measures, tasks and comfort at the command line.
package measured
