package review

import (
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

type jsonPace struct {
	Drift     jsonValue     `json:"drift_percent_per_minute"`
	Over      jsonValue     `json:"change_over_take_notes_per_second"`
	P         jsonValue     `json:"drift_p"`
	DownOver  jsonValue     `json:"down_over_up"`
	Floor     rounded       `json:"down_over_up_camera_floor"`
	Repaired  rounded       `json:"repaired_share"`
	Repairs   []jsonRepair  `json:"repairs"`
	Fastest   []jsonFastest `json:"fastest_held"`
	Grid      jsonGrid      `json:"grid"`
	Agreement tempo.Verdict `json:"strokes_and_spectrum"`
	Ratio     jsonValue     `json:"strokes_over_spectrum"`
}

type jsonGrid struct {
	Metronome bool      `json:"metronome"`
	Interval  jsonValue `json:"interval_s"`
	Drift     jsonValue `json:"drift_percent"`
	Offset    jsonValue `json:"offset_s"`
	Spread    jsonValue `json:"spread_s"`
	Missing   int       `json:"missing"`
	Extra     int       `json:"extra"`
}

type jsonRepair struct {
	Time rounded `json:"time_s"`
	Kind string  `json:"kind"`
}

type jsonFastest struct {
	Beats   int       `json:"beats"`
	Strokes int       `json:"strokes"`
	Start   rounded   `json:"start_s"`
	Rate    jsonValue `json:"notes_per_second"`
	Chance  jsonValue `json:"by_chance_notes_per_second"`
	Beyond  bool      `json:"beyond_chance"`
}

func (r *Review) jsonPace() *jsonPace {
	p := r.Pace
	if p == nil {
		return nil
	}
	j := &jsonPace{
		value(p.Drift.PerMinute), value(estimate.As[float64](p.Drift.Over)), value(p.Drift.P), value(p.Swing.Ratio),
		rounded(p.Swing.Floor), rounded(p.Curve.RepairedShare), []jsonRepair{}, []jsonFastest{},
		jsonGrid{p.Grid.Options.BPM > 0, value(p.Grid.Period), value(p.Grid.Drift), value(p.Grid.Offset), value(p.Grid.Spread), len(p.Grid.Missing), len(p.Grid.Extra)},
		p.Agreement.Verdict, value(p.Agreement.Ratio),
	}
	for _, x := range p.Curve.Repairs {
		j.Repairs = append(j.Repairs, jsonRepair{rounded(x.At), x.Kind})
	}
	for _, f := range p.Fastest {
		j.Fastest = append(j.Fastest, jsonFastest{f.Beats, f.Strokes, rounded(f.Start), value(estimate.As[float64](f.Rate)), value(estimate.As[float64](f.Chance)), f.Beyond})
	}
	return j
}

type jsonHistory struct {
	Thirds      [3]jsonThird `json:"thirds"`
	Holds       []jsonHold   `json:"holds"`
	Searches    []jsonLength `json:"searches"`
	Hold        jsonValue    `json:"hold_s"`
	Search      jsonValue    `json:"search_s"`
	Leaves      int          `json:"leaves"`
	Returns     int          `json:"returns"`
	Switches    int          `json:"switches"`
	EndsSettled bool         `json:"ends_settled"`
	LastHold    *jsonRank    `json:"last_hold,omitempty"`
	Onset       jsonValue    `json:"strokes_to_settle"`
	HoldTrend   jsonTrend    `json:"hold_trend_s_per_span"`
	SearchTrend jsonTrend    `json:"search_trend_s_per_span"`
	RateTrend   jsonTrend    `json:"hold_rate_trend_per_span"`
	Notes       []string     `json:"notes"`
	Why         string       `json:"why,omitempty"`
}

type jsonThird struct {
	Start rounded   `json:"start_s"`
	End   rounded   `json:"end_s"`
	Share jsonValue `json:"settled_share"`
	Holds int       `json:"settled_spans"`
}

type jsonLength struct {
	Start    rounded   `json:"start_s"`
	Strokes  int       `json:"strokes"`
	Seconds  rounded   `json:"seconds"`
	CutStart bool      `json:"cut_at_start"`
	CutEnd   bool      `json:"cut_at_end"`
	Rate     jsonValue `json:"notes_per_second"`
}

type jsonHold struct {
	jsonLength
	Onset jsonValue `json:"strokes_to_settle"`
	// FromLast and Again say whether it is the motion of the hold before, and of
	// which earlier hold, from 1, it is a return.
	FromLast settling.Verdict `json:"as_the_last,omitzero"`
	Distance jsonValue        `json:"distance_from_last_tolerances"`
	Again    int              `json:"return_to_hold,omitempty"`
}

type jsonRank struct {
	Rank  int `json:"rank"`
	Best  int `json:"best"`
	Worst int `json:"worst"`
	Of    int `json:"of"`
}

type jsonTrend struct {
	Slope jsonValue `json:"slope"`
	Tau   rounded   `json:"tau"`
	P     jsonValue `json:"p"`
	N     int       `json:"n"`
}

func lengthJSON(s settling.Stretch) jsonLength {
	return jsonLength{rounded(s.Start), s.Strokes, rounded(s.Seconds), s.CutStart, s.CutEnd, value(s.Rate)}
}

func trendJSON(t settling.Trend) jsonTrend {
	return jsonTrend{value(t.Slope), rounded(t.Tau), value(t.P), t.N}
}

func (r *Review) jsonHistory() jsonHistory {
	h := r.History
	j := jsonHistory{Holds: []jsonHold{}, Searches: []jsonLength{}, Notes: append([]string{}, h.Notes...)}
	if h.Absent != nil {
		j.Why = h.Absent.Why
	}
	for i, t := range h.Thirds {
		j.Thirds[i] = jsonThird{rounded(t.Start), rounded(t.End), value(t.Share), t.Holds}
	}
	for _, s := range h.Holds {
		j.Holds = append(j.Holds, jsonHold{lengthJSON(s.Stretch), value(s.Onset.Strokes), s.FromLast.Verdict, value(s.FromLast.Distance), s.Again + 1})
	}
	for _, s := range h.Searches {
		j.Searches = append(j.Searches, lengthJSON(s))
	}
	j.Hold, j.Search, j.Onset = value(h.HoldLength.Seconds), value(h.SearchLength.Seconds), value(h.OnsetMedian.Strokes)
	j.Leaves, j.Returns, j.Switches, j.EndsSettled = h.Leaves, h.Returns, h.Switches, h.EndsSettled
	if k := h.LastHold; k.Of > 0 {
		j.LastHold = &jsonRank{k.Rank, k.Best, k.Worst, k.Of}
	}
	j.HoldTrend, j.SearchTrend, j.RateTrend = trendJSON(h.HoldTrend), trendJSON(h.SearchTrend), trendJSON(h.HoldRateTrend)
	return j
}

type jsonExploring struct {
	Features []jsonExplored `json:"features"`
	Memory   jsonValue      `json:"memory"`
	Draws    settling.Draws `json:"draws"`
	Strokes  int            `json:"strokes"`
	Seconds  rounded        `json:"seconds"`
	Notes    []string       `json:"notes"`
	Why      string         `json:"why,omitempty"`
}

type jsonExplored struct {
	Name    string         `json:"name"`
	Scatter jsonValue      `json:"scatter_tolerances"`
	Ratio   jsonValue      `json:"ratio_to_settled"`
	Share   jsonValue      `json:"share"`
	Memory  jsonValue      `json:"memory"`
	Draws   settling.Draws `json:"draws"`
}

func (r *Review) jsonExploring() jsonExploring {
	x := r.Exploring
	j := jsonExploring{[]jsonExplored{}, value(x.Memory), x.Draws, x.Strokes, rounded(x.Seconds), append([]string{}, x.Notes...), ""}
	if x.Absent != nil {
		j.Why = x.Absent.Why
	}
	for _, f := range x.Features {
		j.Features = append(j.Features, jsonExplored{f.Name, value(f.Scatter), value(f.Ratio), value(f.Share), value(f.Memory), f.Draws})
	}
	return j
}
