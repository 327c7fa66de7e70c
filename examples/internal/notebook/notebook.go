package notebook

import "github.com/plectrace/plectrace/motion/figure"

// Doc is a page under construction. Make one with New.
type Doc struct {
	// Title is the page's heading and its name in the browser.
	Title string
	// Lead is one line below the title, such as the file and the date.
	Lead     string
	Sections []*Section
}

// New returns a page with that title and no sections.
func New(title string) *Doc { return &Doc{Title: title} }

// Section adds a section and returns it, to be filled.
func (d *Doc) Section(title string) *Section {
	s := &Section{Title: title}
	d.Sections = append(d.Sections, s)
	return s
}

// Section is a titled run of blocks.
type Section struct {
	Title  string
	Blocks []Block
}

// Block is one element of a section: a Heading, Text, List, Table, Figure,
// Caution, Code or Step.
type Block interface{ block() }

type (
	// Heading opens a part of a section.
	Heading string

	// Text is a paragraph.
	Text string

	// List is a list of short texts, numbered where their order matters.
	List struct {
		Items   []string
		Ordered bool
	}

	// Table has a row of column heads, and rows of as many cells; the first
	// cell heads its row. Cells of numeric columns are set flush right. Links
	// says where the first cells lead: the names of files beside the page, with
	// slashes, "" for nowhere.
	Table struct {
		Caption string
		Head    []string
		Rows    [][]string
		Numeric []bool   // a column each; those beyond its end are text
		Links   []string // a row each; those beyond its end lead nowhere
	}

	// Figure is a picture. Name is that of its file where a renderer writes one:
	// lower-case letters, digits and hyphens, a name once in a page. Alt says in
	// words what a reader sees in it; Caption stands below it.
	Figure struct {
		Name    string
		Of      figure.Figure
		Alt     string
		Caption string
	}

	// Caution is a box of text that must not be missed.
	Caution struct {
		Title string
		Texts []string
	}

	// Code is text whose line ends and spaces count, such as a command.
	Code string

	// Step is Go code that ran, and what came of it: texts, lists, tables and
	// figures. A page for a reader who does not program folds the code away.
	Step struct {
		Code    Listing
		Results []Block
	}
)

func (Heading) block() {}
func (Text) block()    {}
func (List) block()    {}
func (Table) block()   {}
func (Figure) block()  {}
func (Caution) block() {}
func (Code) block()    {}
func (Step) block()    {}

// Add appends blocks to the section.
func (s *Section) Add(blocks ...Block) { s.Blocks = append(s.Blocks, blocks...) }

// Heading adds a heading below the section's own.
func (s *Section) Heading(title string) { s.Add(Heading(title)) }

// Text adds a paragraph for each text.
func (s *Section) Text(texts ...string) {
	for _, t := range texts {
		s.Add(Text(t))
	}
}

// List adds a list with a mark before each item; nothing if there is none.
func (s *Section) List(items ...string) {
	if len(items) > 0 {
		s.Add(List{Items: items})
	}
}

// Table adds a table.
func (s *Section) Table(t Table) { s.Add(t) }

// Figure adds a figure.
func (s *Section) Figure(f Figure) { s.Add(f) }

// Caution adds a box of paragraphs that must not be missed.
func (s *Section) Caution(title string, texts ...string) {
	s.Add(Caution{Title: title, Texts: texts})
}

// Step adds code that ran, with what came of it.
func (s *Section) Step(code Listing, results ...Block) { s.Add(Step{code, results}) }

// Care adds the section of cautions with which a page ends that a learner sees. What
// the page has to say besides stands before its last sentence.
func (d *Doc) Care(before string) {
	last := "Nothing on this page is medical advice, and no number on it is a reason to play through discomfort."
	if before != "" {
		last = before + " " + last
	}
	d.Section("Take care").Caution("Fast repeated motion can hurt",
		"Stop at pain, numbness or tingling. Rest, and come back another day. If it stays or returns, see a clinician.", last)
}

// Code adds text whose line ends and spaces count.
func (s *Section) Code(text string) { s.Add(Code(text)) }
