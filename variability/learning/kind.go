package learning

import "fmt"

// Kind is the form of a curve. Its zero value is unknown.
type Kind int

const (
	KindUnknown Kind = iota
	// Constant is y = A.
	Constant
	// Line is y = A + B x.
	Line
	// Logarithm is y = A + B ln(x + Prior): what a power curve tends to as its
	// exponent goes to 0. Fitted to the logarithms of values (Options.Log) it
	// is the power law of practice, whose exponent is -B.
	Logarithm
	// PowerToZero is y = B (x + Prior)^-C, which rises if C is negative.
	PowerToZero
	// Exponential is y = A + B exp(-C (x - First)).
	Exponential
	// Power is y = A + B (x + Prior)^-C.
	Power
)

var kindNames = [...]string{
	KindUnknown: "", Constant: "constant", Line: "line", Logarithm: "logarithm",
	PowerToZero: "power to zero", Exponential: "exponential", Power: "power",
}

// String returns "constant", "line", "logarithm", "power to zero",
// "exponential", "power", or "" for unknown.
func (k Kind) String() string { return name(kindNames[:], int(k)) }

// MarshalText implements encoding.TextMarshaler.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler. An unknown name is an
// error; "" is the zero Kind.
func (k *Kind) UnmarshalText(b []byte) error {
	i, err := index(kindNames[:], string(b), "kind of curve")
	if err == nil {
		*k = Kind(i)
	}
	return err
}

// levels reports whether curves of this kind tend to a level that is fitted.
func (k Kind) levels() bool { return k == Exponential || k == Power }

// Verdict is what the values allow to be said. Its zero value is unknown.
type Verdict int

const (
	VerdictUnknown Verdict = iota
	// TooFew values, or places on the x axis, to tell anything.
	TooFew
	// NoChange is seen. Result.Change says how large one may still be.
	NoChange
	// Trend: there is a change, and no bend in it; a line describes it as well
	// as a curve does. Nothing can be said about a level.
	Trend
	// StillChanging: the change bends, but the level that it tends to is not
	// in sight: it is too far off or too uncertain.
	StillChanging
	// Levelling: the level is in sight, and not surely reached.
	Levelling
	// Reached: at the last value at least 95 % of the change is done, with
	// the confidence of the verdict.
	Reached
)

var verdictNames = [...]string{
	VerdictUnknown: "", TooFew: "too few values", NoChange: "no change seen", Trend: "trend",
	StillChanging: "still changing", Levelling: "levelling off", Reached: "level reached",
}

// String returns "too few values", "no change seen", "trend", "still
// changing", "levelling off", "level reached", or "" for unknown.
func (v Verdict) String() string { return name(verdictNames[:], int(v)) }

// MarshalText implements encoding.TextMarshaler.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler. An unknown name is an
// error; "" is the zero Verdict.
func (v *Verdict) UnmarshalText(b []byte) error {
	i, err := index(verdictNames[:], string(b), "verdict")
	if err == nil {
		*v = Verdict(i)
	}
	return err
}

func name(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return ""
	}
	return names[i]
}

func index(names []string, s, what string) (int, error) {
	for i, n := range names {
		if n == s {
			return i, nil
		}
	}
	return 0, fmt.Errorf("learning: unknown %s %q: it is one of %q", what, s, names[1:])
}
