package cues_test

import (
	"errors"
	"fmt"
	"html"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// vttFile is a file as its syntax parts it.
type vttFile struct {
	cues  []vttCue
	notes []string
}

type vttCue struct {
	id, payload string
	start, end  int64 // ms
	settings    map[string]string
}

// The grammar of "WebVTT: The Web Video Text Tracks Format", chapter Syntax, by
// its productions (W3C, index.bs of the specification's public repository).
var (
	// WebVTT timestamp: hours of two digits or more, optional when zero.
	stamp   = `(?:([0-9]{2,}):)?([0-5][0-9]):([0-5][0-9])\.([0-9]{3})`
	timings = regexp.MustCompile(`^` + stamp + `[ \t]+-->[ \t]+` + stamp + `(?:[ \t]+(.*))?$`)
	inText  = regexp.MustCompile(`^` + stamp + `$`)
	percent = `([0-9]+(?:\.[0-9]+)?)%`
	// WebVTT cue settings.
	settingValues = map[string]*regexp.Regexp{
		"vertical": regexp.MustCompile(`^(?:rl|lr)$`),
		"line":     regexp.MustCompile(`^(?:` + percent + `|-?[0-9]+)(?:,(?:start|center|end))?$`),
		"position": regexp.MustCompile(`^` + percent + `(?:,(?:line-left|center|line-right))?$`),
		"size":     regexp.MustCompile(`^` + percent + `$`),
		"align":    regexp.MustCompile(`^(?:start|center|end|left|right)$`),
		"region":   regexp.MustCompile(`^\S+$`),
	}
	// WebVTT region settings list.
	regionValues = map[string]*regexp.Regexp{
		"id":             regexp.MustCompile(`^\S+$`),
		"width":          regexp.MustCompile(`^` + percent + `$`),
		"lines":          regexp.MustCompile(`^[0-9]+$`),
		"regionanchor":   regexp.MustCompile(`^` + percent + `,` + percent + `$`),
		"viewportanchor": regexp.MustCompile(`^` + percent + `,` + percent + `$`),
		"scroll":         regexp.MustCompile(`^up$`),
	}
	headed = regexp.MustCompile(`^(REGION|STYLE)[ \t]*$`)
	tag    = regexp.MustCompile(`^(c|i|b|u|ruby|rt|v|lang)((?:\.[^\t\n\r &<>.]+)*)(?:[ \t]([^&>]*))?$`)
	refers = regexp.MustCompile(`&(?:#[0-9]+|#[xX][0-9a-fA-F]+|[A-Za-z][A-Za-z0-9]*);`)
)

// parseVTT holds a file against the syntax for files with caption or subtitle cue
// text and returns what is in it.
func parseVTT(b []byte) (f vttFile, err error) {
	if !utf8.Valid(b) {
		return f, errors.New("not UTF-8")
	}
	text := strings.TrimPrefix(string(b), "\uFEFF")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	head, rest, _ := strings.Cut(text, "\n")
	if after, ok := strings.CutPrefix(head, "WEBVTT"); !ok || after != "" && after[0] != ' ' && after[0] != '\t' {
		return f, fmt.Errorf("the first line is %q", head)
	}
	if !strings.HasPrefix(rest, "\n") {
		return f, errors.New("no blank line after the header")
	}
	if strings.Trim(rest, "\n") != "" && !strings.HasSuffix(rest, "\n") {
		return f, errors.New("the last block is not terminated")
	}
	ids, regions := map[string]bool{}, map[string]bool{}
	last := int64(0)
	for n, block := range regexp.MustCompile(`\n\n+`).Split(strings.Trim(rest, "\n"), -1) {
		if block == "" {
			continue
		}
		first, body, more := strings.Cut(block, "\n")
		bad := func(format string, args ...any) error {
			return fmt.Errorf("block %d, %q: %s", n+1, first, fmt.Sprintf(format, args...))
		}
		if !strings.Contains(block, "-->") {
			kind := headed.FindStringSubmatch(first)
			switch {
			case first == "NOTE" || strings.HasPrefix(first, "NOTE ") || strings.HasPrefix(first, "NOTE\t"):
				f.notes = append(f.notes, block)
			case kind == nil || !more:
				return f, bad("neither a cue, nor a comment, a style or a region")
			case len(f.cues) > 0:
				return f, bad("after the first cue")
			case kind[1] == "REGION":
				list, err := settingsOf(strings.Fields(body), regionValues)
				if err != nil {
					return f, bad("%v", err)
				}
				if list["id"] == "" || regions[list["id"]] {
					return f, bad("region %q", list["id"])
				}
				regions[list["id"]] = true
			}
			continue
		}
		var c vttCue
		line := first
		if !strings.Contains(first, "-->") {
			c.id = first
			line, body, more = strings.Cut(body, "\n")
			if ids[c.id] {
				return f, bad("the identifier is there twice")
			}
			ids[c.id] = true
		}
		t := timings.FindStringSubmatch(line)
		switch {
		case t == nil:
			return f, bad("timings %q", line)
		case !more:
			return f, bad("no payload")
		case strings.Contains(body, "-->"):
			return f, bad("--> in the payload")
		}
		if c.start, err = stampOf(t[1:5]); err == nil {
			c.end, err = stampOf(t[5:9])
		}
		switch {
		case err != nil:
			return f, bad("%v", err)
		case c.start < last:
			return f, bad("starts before the cue before it")
		case c.end <= c.start:
			return f, bad("ends at %d ms, starts at %d ms", c.end, c.start)
		}
		last = c.start
		if c.settings, err = settingsOf(strings.FieldsFunc(t[9], func(r rune) bool { return r == ' ' || r == '\t' }), settingValues); err != nil {
			return f, bad("%v", err)
		}
		if c.payload, err = cueText(body, c.start, c.end); err != nil {
			return f, bad("%v", err)
		}
		f.cues = append(f.cues, c)
	}
	return f, nil
}

func stampOf(parts []string) (int64, error) {
	ms := int64(0)
	for i, per := range []int64{3600_000, 60_000, 1000, 1} {
		if parts[i] == "" {
			continue
		}
		n, err := strconv.ParseInt(parts[i], 10, 40)
		if err != nil {
			return 0, err
		}
		ms += n * per
	}
	return ms, nil
}

// settingsOf reads a list of settings, each of which may be there once.
func settingsOf(words []string, known map[string]*regexp.Regexp) (map[string]string, error) {
	list := map[string]string{}
	for _, w := range words {
		name, value, _ := strings.Cut(w, ":")
		form := known[name]
		if form == nil {
			return nil, fmt.Errorf("there is no setting %q", w)
		}
		m := form.FindStringSubmatch(value)
		if _, twice := list[name]; m == nil || twice {
			return nil, fmt.Errorf("setting %q", w)
		}
		for _, p := range m[1:] {
			if x, err := strconv.ParseFloat(p, 64); p != "" && (err != nil || x > 100) {
				return nil, fmt.Errorf("setting %q: a percentage lies between 0 and 100", w)
			}
		}
		list[name] = value
	}
	return list, nil
}

// cueText checks WebVTT caption or subtitle cue text and returns it without tags,
// references resolved.
func cueText(s string, start, end int64) (string, error) {
	var plain strings.Builder
	var open []string
	voiceOnly := strings.HasPrefix(s, "<v") // its end tag may be left out
	at := start
	for s != "" {
		i := strings.IndexAny(s, "<&")
		if i < 0 {
			i = len(s)
		}
		plain.WriteString(s[:i])
		if s = s[i:]; s == "" {
			break
		}
		if s[0] == '&' {
			ref := refers.FindString(s)
			if !strings.HasPrefix(s, ref) || ref == "" || html.UnescapeString(ref) == ref {
				return "", fmt.Errorf("a & that is no character reference: %.12q", s)
			}
			plain.WriteString(html.UnescapeString(ref))
			s = s[len(ref):]
			continue
		}
		inside, after, ok := strings.Cut(s[1:], ">")
		if !ok {
			return "", fmt.Errorf("a < that opens no tag: %.12q", s)
		}
		s = after
		if m := inText.FindStringSubmatch(inside); m != nil {
			t, err := stampOf(m[1:])
			if err != nil || t <= at || t >= end {
				return "", fmt.Errorf("time %q inside a cue", inside)
			}
			at = t
			continue
		}
		if name, ends := strings.CutPrefix(inside, "/"); ends {
			if name == "ruby" && slices.Equal(open[max(0, len(open)-2):], []string{"ruby", "rt"}) {
				open = open[:len(open)-1]
			}
			if len(open) == 0 || open[len(open)-1] != name {
				return "", fmt.Errorf("</%s> closes nothing", name)
			}
			open = open[:len(open)-1]
			continue
		}
		m := tag.FindStringSubmatch(inside)
		if m == nil {
			return "", fmt.Errorf("tag <%s>", inside)
		}
		annotated := strings.TrimSpace(m[3]) != ""
		if needs := m[1] == "v" || m[1] == "lang"; needs != annotated {
			return "", fmt.Errorf("annotation of <%s>", inside)
		}
		if m[1] == "rt" && (len(open) == 0 || open[len(open)-1] != "ruby") {
			return "", errors.New("<rt> outside of <ruby>")
		}
		open = append(open, m[1])
	}
	if len(open) > 0 && !(voiceOnly && slices.Equal(open, []string{"v"})) {
		return "", fmt.Errorf("<%s> is not closed", open[len(open)-1])
	}
	return plain.String(), nil
}
