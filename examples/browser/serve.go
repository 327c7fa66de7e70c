package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// serve serves the files to this computer until ctx ends. It calls up with the address
// as soon as the page can be opened.
func serve(ctx context.Context, files []cli.File, port int, up func(address string) error) error {
	listener, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return cli.Input(fmt.Errorf("port %d cannot be served", port), "choose another with -port, or leave it out")
	}
	s := &http.Server{Handler: handler(files), ReadHeaderTimeout: 10 * time.Second}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(listener) }()
	if err := up("http://" + listener.Addr().String() + "/"); err != nil {
		return errors.Join(err, s.Close())
	}
	select {
	case <-ctx.Done():
		return s.Close()
	case err := <-ended:
		return cli.Input(fmt.Errorf("the server has ended: %w", err), "start it again")
	}
}

// handler hands out the files, and nothing else. It takes nothing in.
func handler(files []cli.File) http.Handler {
	byName := map[string][]byte{}
	for _, f := range files {
		byName[f.Name] = f.Data
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "" {
			name = "index.html"
		}
		data, ok := byName[name]
		switch {
		case !ok:
			http.NotFound(w, r)
			return
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "this server takes nothing in", http.StatusMethodNotAllowed)
			return
		}
		h := w.Header()
		h.Set("Content-Type", kinds[path.Ext(name)])
		h.Set("Content-Length", strconv.Itoa(len(data)))
		h.Set("Cache-Control", "no-cache")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		if r.Method == http.MethodGet {
			w.Write(data)
		}
	})
}

// kinds are the media types of files. What is packed is unpacked by the page.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".json": "application/json",
	".gz":   "application/gzip",
}
