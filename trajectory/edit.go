package trajectory

// Rule says why samples were cut or filled.
type Rule int

const (
	// RuleUnknown is the zero value.
	RuleUnknown Rule = iota
	// LowConfidence marks samples cut because the tracker trusted them little.
	LowConfidence
	// Outlier marks up to three samples in a row cut because they jumped off
	// the path of their neighbours.
	Outlier
	// Elsewhere marks a stretch cut because the tracker sat on something else:
	// it went there and came back in steps that the point cannot make.
	Elsewhere
	// StraightFill marks samples cut because the tracker had drawn them as a
	// straight line through a gap.
	StraightFill
	// FrozenFill marks samples cut because the tracker had repeated the last
	// position through a gap.
	FrozenFill
	// Filled marks samples that were missing and have been interpolated here.
	Filled
)

var ruleNames = []string{
	"unknown", "low confidence", "outlier", "elsewhere",
	"straight-line fill", "frozen fill", "filled",
}

// String returns the rule in words, as it stands in files.
func (r Rule) String() string { return name(ruleNames, int(r)) }

// MarshalText returns the rule in words.
func (r Rule) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads a rule in words.
func (r *Rule) UnmarshalText(text []byte) error {
	i, err := index("rule", ruleNames, string(text))
	if err == nil {
		*r = Rule(i)
	}
	return err
}

// Edit is a stretch of samples of one point that was cut or filled.
type Edit struct {
	Point string
	Rule  Rule
	// Start and End bound the samples, [Start, End).
	Start, End int
	// StartTime and EndTime are the times of the first and the last sample of
	// the stretch, in seconds.
	StartTime, EndTime float64
}

// Samples returns the number of samples in the stretch.
func (e Edit) Samples() int { return e.End - e.Start }

// edit returns the Edit of samples [start, end) of p.
func edit(p Path, r Rule, start, end int) Edit {
	return Edit{Point: p.Name, Rule: r, Start: start, End: end, StartTime: p.T[start], EndTime: p.T[end-1]}
}
