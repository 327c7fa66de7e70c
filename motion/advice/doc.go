// Package advice says what to work on after a take: one thing that holds first,
// then two things at most.
//
//	a := advice.Default().Advise(advice.Evidence{Take: r.Summary(), Task: advice.ChangingStrings})
//	if a.Holds != nil {
//		fmt.Println(a.Holds.Text)
//	}
//	for _, w := range a.Work {
//		fmt.Println(w.Text)
//	}
//
// # What it goes by
//
// Thresholds are data, rules.json, each with its source beside it. Most are common
// practice and say so; a teacher who thinks otherwise writes a table of his own
// (Parse). A rule holds measures of the review's table against thresholds, and
// knows nothing of how they came about.
//
// A rule speaks only where the numbers bear it: the whole interval of a measure
// lies beyond the threshold, and, where it is known how far the player's takes
// differ by themselves (progress.Repeatability), that interval widened by it,
//
//	function      formula                  source
//	Table.Advise  value ± √(h² + (t s)²)   independent errors, in quadrature
//
// with h the half-width of the interval to the side of the threshold, s the
// standard deviation between takes of a day and t Student's quantile for its
// degrees of freedom; measures that change by a factor by their logarithms. Where
// repeats are not known an item says that it is about this take alone. A measure without an interval supports nothing, and what could
// not be judged is listed with its reason.
//
// Rules of one topic share one item, the first that applies, so that the two
// things to work on are two. The order of the table is the order of importance.
//
// # What it never does
//
// It names no rate to reach. It claims no cause. It holds nobody against another
// player. Clearing is asked for only when the task is to change strings: on one
// string a path among the strings is no fault. A player who notes pain gets
// nothing to work on, but to stop, to rest, and to see a clinician if it stays or
// comes back. Nothing here is medical advice.
//
// Learners may be children. Texts are in plain words and hold no more about a
// person than the numbers they are made of.
//
// # Missing values
//
// A measure that is absent is listed in Advice.Unsaid with its reason, and never
// counts as one that holds.
package advice
