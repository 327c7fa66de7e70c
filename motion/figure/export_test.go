package figure

// What tests of the package's surface need of its inside.
const (
	Ascent = ascent
	Slack  = slack
)

func TextWidth(text string) float64 { return float64(textWidth(text)) }
