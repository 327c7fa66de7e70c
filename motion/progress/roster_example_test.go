package progress_test

import (
	"fmt"
	"os"
	"strings"

	"github.com/plectrace/plectrace/motion/progress"
)

// A list of takes as a class keeps it beside the exports.
const takesCSV = `player;date;take;file;setup;comfort;pick mm
P02;2024-03-12;1;p02-12-1.csv;bench;good;0.96
P01;2024-03-12;1;p01-12-1.csv;bench;tired;1.4
P01;2024-03-05;1;p01-05-1.csv;bench;good;1.4
`

func ExampleReadRoster() {
	r, err := progress.ReadRoster(strings.NewReader(takesCSV), "takes.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Players(), r.Columns)
	for _, t := range r.Of("P01") {
		fmt.Println(t.Label(), t.Comfort, t.Extra)
	}

	_, err = progress.ReadRoster(strings.NewReader("player,date,file\nP01,5.3.2024,a.csv\n"), "takes.csv")
	fmt.Println(strings.Contains(err.Error(), "year-month-day"))
	// Output:
	// [P02 P01] [pick mm]
	// P01, 2024-03-05, take 1 good [1.4]
	// P01, 2024-03-12, take 1 tired [1.4]
	// true
}

func ExampleRoster_Order() {
	r, err := progress.ReadRoster(strings.NewReader(takesCSV), "takes.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range r.Order() {
		fmt.Println(t.File)
	}
	// Output:
	// p01-05-1.csv
	// p02-12-1.csv
	// p01-12-1.csv
}

func ExampleWriteRoster() {
	r := progress.Roster{Columns: []string{"pick mm"}, Takes: []progress.Take{
		{Player: "P01", Take: "1", File: "p01-05-1.csv", Comfort: progress.ComfortGood, Extra: []string{"1.4"}},
	}}
	if err := progress.WriteRoster(os.Stdout, r); err != nil {
		fmt.Println(err)
	}
	// Output:
	// player,date,session,take,file,setup,stopped_by,grip,comfort,pick mm
	// P01,,,1,p01-05-1.csv,,,,good,1.4
}
