//go:build js && wasm

// Command wasm is the part of the browser's page that reads, measures and draws. It
// runs in a worker, which calls the functions of the global object plectrace; each
// returns an object that holds what was asked for, or why there is none (error).
package main

import (
	"encoding/json"
	"fmt"
	"runtime/debug"
	"syscall/js"

	"github.com/plectrace/plectrace/examples/browser/wasm/internal/session"
)

func main() {
	debug.SetGCPercent(400) // there is one thread for all
	s := &session.Session{Tell: func(doing string, share float64) { js.Global().Call("plectraceTells", doing, share) }}
	js.Global().Set("plectrace", map[string]any{
		"open": function(func(args []js.Value) (map[string]any, error) {
			return asJSON(s.Open(takeOver(args[0]), text(args[1])))
		}),
		"demo": function(func(args []js.Value) (map[string]any, error) {
			return asJSON(s.Demo(takeOver(args[0])))
		}),
		"leave": function(func(args []js.Value) (map[string]any, error) {
			return asJSON(s.Leave(args[0].String(), text(args[1])))
		}),
		"path": function(func(args []js.Value) (map[string]any, error) {
			return asJSON(s.Path(args[0].String()), nil)
		}),
		"settings": function(func(args []js.Value) (map[string]any, error) {
			f, note, err := s.Settings(text(args[0]))
			return map[string]any{"files": handOver(f), "note": note}, err
		}),
		"review": function(func(args []js.Value) (map[string]any, error) {
			var p session.Player
			if err := json.Unmarshal(text(args[1]), &p); err != nil {
				return nil, err
			}
			f, err := s.Review(text(args[0]), p)
			return map[string]any{"files": handOver(f)}, err
		}),
		"files": function(func([]js.Value) (map[string]any, error) {
			files, why, err := s.Files()
			return map[string]any{"files": handOver(files...), "note": why}, err
		}),
	})
	js.Global().Call("plectraceIsReady")
	select {}
}

// function is f for the worker to call.
func function(f func(args []js.Value) (map[string]any, error)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) (out any) {
		defer func() {
			if fault := recover(); fault != nil {
				out = map[string]any{"error": session.Words(fmt.Errorf("the program failed on this file, which is the program's fault (%v); load the page again", fault))}
			}
		}()
		got, err := f(args)
		if err != nil {
			return map[string]any{"error": session.Words(err)}
		}
		return got
	})
}

// text is a text of the page, nil for none.
func text(v js.Value) []byte {
	if v.Type() != js.TypeString {
		return nil
	}
	return []byte(v.String())
}

// asJSON is what the page reads as an object.
func asJSON(v any, err error) (map[string]any, error) {
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(v)
	return map[string]any{"json": string(data)}, err
}

// takeOver are files as the page has them.
func takeOver(list js.Value) []session.File {
	var files []session.File
	for i := range list.Length() {
		f := list.Index(i)
		data := make([]byte, f.Get("data").Get("length").Int())
		js.CopyBytesToGo(data, f.Get("data"))
		files = append(files, session.File{Name: f.Get("name").String(), Data: data})
	}
	return files
}

// handOver are files as the page takes them.
func handOver(files ...session.File) []any {
	var out []any
	for _, f := range files {
		data := js.Global().Get("Uint8Array").New(len(f.Data))
		js.CopyBytesToJS(data, f.Data)
		out = append(out, map[string]any{"name": f.Name, "data": data})
	}
	return out
}
