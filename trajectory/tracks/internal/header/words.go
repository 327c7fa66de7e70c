package header

import "strings"

// The words that columns go by, in lower case.
var (
	timeWords = words("time t timestamp timestamps elapsed elapsedtime seconds second secs sec s " +
		"milliseconds millisecond millis msec ms microseconds microsecond us µs nanoseconds ns")
	frameWords = words("frame frames frame# framenumber frameno framenr framenum frameid frameidx frameindex " +
		"index idx # sample samples sampleindex sampleno field field# row unnamed0")
	confidenceWords = words("confidence conf likelihood score probability prob visibility")
	// positionWords may follow an axis without a meaning of their own.
	positionWords = words("pos position coord coordinate loc location")

	pointLabels = words("bodypart bodyparts point points marker markers keypoint keypoints joint joints landmark " +
		"landmarks node nodes name names label labels")
	groupLabels = words("scorer individual individuals group groups subject subjects skeleton model animal animals " +
		"instance instances")
	axisLabels = words("coord coords coordinate coordinates axis axes dimension dimensions dim component components")
	unitLabels = words("unit units")
)

// timeUnits and lengthUnits give the unit that a word stands for.
var (
	timeUnits = map[string]string{
		"s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
		"ms": "ms", "msec": "ms", "millis": "ms", "millisecond": "ms", "milliseconds": "ms",
		"us": "us", "µs": "us", "μs": "us", "microsecond": "us", "microseconds": "us",
		"ns": "ns", "nanosecond": "ns", "nanoseconds": "ns",
	}
	lengthUnits = map[string]string{
		"px": "px", "pix": "px", "pixel": "px", "pixels": "px",
		"mm": "mm", "millimeter": "mm", "millimeters": "mm", "millimetre": "mm", "millimetres": "mm",
		"cm": "cm", "centimeter": "cm", "centimeters": "cm", "centimetre": "cm", "centimetres": "cm",
		"m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m",
	}
)

func words(s string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// LengthUnit returns the short name of a unit of length, "" if s is none.
func LengthUnit(s string) string { return lengthUnits[bare(s)] }

// TimeUnit returns the short name of a unit of time, "" if s is none.
func TimeUnit(s string) string { return timeUnits[bare(s)] }

// bare returns s in lower case without brackets and blanks around it.
func bare(s string) string {
	return strings.ToLower(strings.Trim(s, " \t()[]{}"))
}

func isAxis(w string) bool { return w == "x" || w == "y" || w == "z" }

// word is a part of a name: text in lower case, and its place in the name.
type word struct {
	text     string
	from, to int
}

const separators = " \t_.-:/|,()[]{}"

// split returns the words of a name.
func split(s string) []word {
	var ws []word
	for i := 0; i < len(s); {
		if strings.IndexByte(separators, s[i]) >= 0 {
			i++
			continue
		}
		j := i
		for j < len(s) && strings.IndexByte(separators, s[j]) < 0 {
			j++
		}
		ws = append(ws, word{strings.ToLower(s[i:j]), i, j})
		i = j
	}
	if n := len(ws); n > 0 {
		ws = append(ws[:n-1], splitCase(s, ws[n-1])...)
	}
	return ws
}

// splitCase takes a capital X, Y or Z, or a capitalized word for a confidence,
// off the end of a word in lower case: tipX, tip1Likelihood.
func splitCase(s string, w word) []word {
	for i := w.from + 1; i < w.to; i++ {
		if s[i] < 'A' || s[i] > 'Z' || s[i-1] >= 'A' && s[i-1] <= 'Z' {
			continue
		}
		end := strings.ToLower(s[i:w.to])
		if isAxis(end) || confidenceWords[end] {
			return []word{{strings.ToLower(s[w.from:i]), w.from, i}, {end, i, w.to}}
		}
	}
	return []word{w}
}
