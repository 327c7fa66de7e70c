package cues_test

import "testing"

// TestValidator holds the tests' reader of the format against files of the
// specification itself.
func TestValidator(t *testing.T) {
	for _, c := range []struct{ name, file string }{
		// Introduction, captions with comments.
		{"comments", "WEBVTT\n\nNOTE\nThis file was written by Jill. I hope\nyou enjoy reading it. Some things to\nbear in mind:\n- I was lip-reading, so the cues may\nnot be 100% accurate\n\n" +
			"00:01.000 --> 00:04.000\nNever drink liquid nitrogen.\n\nNOTE check next cue\n\n00:05.000 --> 00:09.000\n— It will perforate your stomach.\n— You could die.\n\nNOTE end of file\n"},
		// Introduction, voices: the end tag may be left out where it is the only component.
		{"voices", "WEBVTT\n\n00:00.000 --> 00:02.000\n<v.first.loud Esme>It's a blue apple tree!\n\n00:02.000 --> 00:04.000\n<v Mary>No way!\n\n" +
			"00:04.000 --> 00:06.000\n<v Esme>Hee!</v> <i>laughter</i>\n\n00:06.000 --> 00:08.000\n<v.loud Mary>That's awesome!\n"},
		// Introduction, classes and a language.
		{"language", "WEBVTT\n\n04:02.500 --> 04:05.000\nJ'ai commencé le basket à l'âge de 13, 14 ans\n\n04:05.001 --> 04:07.800\nSur les <i.foreignphrase><lang en>playground</lang></i>, ici à Montpellier\n"},
		// Introduction, explicit positions: cues overlap.
		{"positions", "WEBVTT\n\n00:00:00.000 --> 00:00:04.000 position:10%,line-left align:left size:35%\nWhere did he go?\n\n" +
			"00:00:03.000 --> 00:00:06.500 position:90% align:right size:35%\nI think he went down this lane.\n\n00:00:04.000 --> 00:00:06.500 position:45%,line-right align:center size:35%\nWhat are you waiting for?\n"},
		// Introduction, regions (shortened to the first of each).
		{"regions", "WEBVTT\n\nREGION\nid:fred\nwidth:40%\nlines:3\nregionanchor:0%,100%\nviewportanchor:10%,90%\nscroll:up\n\n00:00:00.000 --> 00:00:20.000 region:fred align:left\n<v Fred>Hi, my name is Fred\n"},
		// Introduction, chapters: identifiers.
		{"chapters", "WEBVTT\n\nNOTE\nThis is from a talk Silvia gave about WebVTT.\n\nSlide 1\n00:00:00.000 --> 00:00:10.700\nTitle Slide\n\nSlide 2\n00:00:10.700 --> 00:00:47.600\nIntroduction by Naomi Black\n"},
		// Properties of cue sequences, nested cues: equal starts.
		{"nested", "WEBVTT\n\n00:00.000 --> 01:24.000\nIntroduction\n\n00:00.000 --> 00:44.000\nTopics\n\n00:44.000 --> 01:19.000\nPresenters\n"},
		// From the syntax: a file without cues, a mark of byte order, text in the header, other ends of lines, long hours.
		{"empty", "WEBVTT\n\n"},
		{"header", "\uFEFFWEBVTT some text\r\n\r\n\r\nid\r100:00:00.000\t-->\t1000:59:59.999\tline:-1\ra &amp; b &#x26; &lt;\r"},
		{"style", "WEBVTT\n\nSTYLE \n::cue { color: lime }\n\n00:00.000 --> 00:01.000\nx\n"},
		{"time inside", "WEBVTT\n\n00:00.000 --> 00:01.000\na <00:00.500>b <ruby>c<rt>d</rt></ruby>\n"},
		// web-platform-tests, webvtt/parsing/file-parsing, settings-line: valid numbers of lines.
		{"lines", "WEBVTT\n\n00:00:00.000 --> 00:00:01.000 line:-1\nvalid\n\n00:00:00.000 --> 00:00:01.000 line:101\nvalid\n\n00:00:00.000 --> 00:00:01.000 line:100%,end\ntext1\n"},
	} {
		if _, err := parseVTT([]byte(c.file)); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	cue := func(s string) string { return "WEBVTT\n\n" + s }
	for _, c := range []struct{ name, file string }{
		{"nothing", ""},
		{"signature", "WEBVTTx\n\n"},
		{"no blank line", "WEBVTT\n00:00.000 --> 00:01.000\nx\n"},
		{"not ended", cue("00:00.000 --> 00:01.000\nx")},
		{"not UTF-8", cue("00:00.000 --> 00:01.000\n\xff\n")},
		{"minutes", cue("00:60:00.000 --> 01:01:00.000\nx\n")},
		{"one digit of hours", cue("0:00:00.000 --> 0:00:01.000\nx\n")},
		{"two decimals", cue("00:00.00 --> 00:01.00\nx\n")},
		{"comma", cue("00:00,000 --> 00:01,000\nx\n")},
		{"no space", cue("00:00.000-->00:01.000\nx\n")},
		{"negative", cue("-00:00.500 --> 00:01.000\nx\n")},
		{"ends at its start", cue("00:01.000 --> 00:01.000\nx\n")},
		{"order", cue("00:02.000 --> 00:03.000\nx\n\n00:01.000 --> 00:02.000\ny\n")},
		{"two of one name", cue("a\n00:01.000 --> 00:02.000\nx\n\na\n00:01.000 --> 00:02.000\ny\n")},
		{"arrow in the text", cue("00:01.000 --> 00:02.000\na --> b\n")},
		{"arrow in a comment", cue("NOTE a --> b\n")},
		{"block of nothing", cue("00:01.000 --> 00:02.000\nx\n\nmore text\n")},
		{"two blocks in one", cue("00:01.000 --> 00:02.000\nx\n00:02.000 --> 00:03.000\ny\n")},
		{"ampersand", cue("00:01.000 --> 00:02.000\na & b\n")},
		{"no such reference", cue("00:01.000 --> 00:02.000\na &nosuch; b\n")},
		{"open tag", cue("00:01.000 --> 00:02.000\n<i>x\n")},
		{"no such tag", cue("00:01.000 --> 00:02.000\n<script>x</script>\n")},
		{"crossed tags", cue("00:01.000 --> 00:02.000\n<i><b>x</i></b>\n")},
		{"less than", cue("00:01.000 --> 00:02.000\n1 < 2\n")},
		{"voice without a name", cue("00:01.000 --> 00:02.000\n<v>x</v>\n")},
		{"style late", cue("00:01.000 --> 00:02.000\nx\n\nSTYLE\n::cue { color: lime }\n")},
		{"setting twice", cue("00:01.000 --> 00:02.000 line:1 line:2\nx\n")},
		{"no such setting", cue("00:01.000 --> 00:02.000 place:1\nx\n")},
		{"percentage", cue("00:01.000 --> 00:02.000 size:101%\nx\n")},
		// web-platform-tests, as above: invalid lines.
		{"line 1-", cue("00:00:00.000 --> 00:00:01.000 line:1-\nx\n")},
		{"line .5", cue("00:00:00.000 --> 00:00:01.000 line:.5\nx\n")},
		{"line 1..5", cue("00:00:00.000 --> 00:00:01.000 line:1..5\nx\n")},
		{"line 101%", cue("00:00:00.000 --> 00:00:01.000 line:101%\nx\n")},
		{"line middle", cue("00:00:00.000 --> 00:00:01.000 line:100%,middle\nx\n")},
	} {
		if _, err := parseVTT([]byte(c.file)); err == nil {
			t.Errorf("%s: taken for valid", c.name)
		}
	}
}
