package browsertest

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// event takes note of what happens in the page.
func (p *Page) event(method string, params json.RawMessage) {
	p.mu.Lock()
	defer p.mu.Unlock()
	var e struct {
		// Runtime.consoleAPICalled
		Type string
		Args []struct {
			Value       any
			Description string
		}
		// Runtime.exceptionThrown
		ExceptionDetails struct {
			Text      string
			Exception struct{ Description string }
		}
		// Log.entryAdded
		Entry struct{ Source, Level, Text, URL string }
		// Network.requestWillBeSent
		Request     struct{ URL string }
		DocumentURL string
		// Target.attachedToTarget
		SessionID string
	}
	switch method {
	case "Page.loadEventFired", "Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded", "Network.requestWillBeSent", "Target.attachedToTarget":
	default:
		return
	}
	if method != "Page.loadEventFired" {
		if err := json.Unmarshal(params, &e); err != nil {
			p.said = append(p.said, fmt.Sprintf("%s could not be read: %v", method, err))
			return
		}
	}
	switch method {
	case "Page.loadEventFired":
		select {
		case <-p.loaded: // before
		default:
			close(p.loaded)
		}
	case "Target.attachedToTarget":
		go p.watch(e.SessionID)
	case "Runtime.consoleAPICalled":
		if !slices.Contains([]string{"error", "warning", "assert"}, e.Type) {
			return
		}
		words := []string{"the page's script wrote to the console (" + e.Type + "):"}
		for _, a := range e.Args {
			if a.Value != nil {
				words = append(words, fmt.Sprint(a.Value))
			} else {
				words = append(words, a.Description)
			}
		}
		p.said = append(p.said, strings.Join(words, " "))
	case "Runtime.exceptionThrown":
		p.said = append(p.said, "the page's script failed: "+e.ExceptionDetails.Text+" "+e.ExceptionDetails.Exception.Description)
	case "Log.entryAdded":
		if e.Entry.Level == "error" || e.Entry.Level == "warning" {
			p.said = append(p.said, fmt.Sprintf("the browser reports (%s, %s): %s %s", e.Entry.Source, e.Entry.Level, e.Entry.Text, e.Entry.URL))
		}
	case "Network.requestWillBeSent":
		// A data address holds what it stands for, and is no request.
		if e.Request.URL != p.url && !strings.HasPrefix(e.Request.URL, "data:") {
			p.asked = append(p.asked, e.Request.URL)
		}
	}
}

// watch takes note of what a worker of the page does, and lets it start.
func (p *Page) watch(worker string) {
	ctx, cancel := p.context()
	defer cancel()
	p.b.listen(worker, p.event)
	for _, method := range []string{"Runtime.enable", "Log.enable", "Network.enable", "Runtime.runIfWaitingForDebugger"} {
		err := p.b.call(ctx, worker, method, nil, nil)
		if err != nil && method == "Runtime.runIfWaitingForDebugger" { // a kind of worker may lack a domain
			p.b.listen(worker, nil) // it has ended
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.workers = append(p.workers, worker)
}

func (p *Page) console() []string {
	p.settle()
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.said)
}

func (p *Page) requests() []string {
	found := p.texts("requests.js")
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, address := range p.asked {
		found = append(found, "the page asks for "+address+": embed it, or leave it out")
	}
	return found
}
