package watch

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"

	"gopkg.in/natefinch/lumberjack.v2"
)

// LogOptions say where the service's log goes and how it looks.
type LogOptions struct {
	File  string // "": to the given writer, for the system to keep and rotate
	JSON  bool   // one JSON object a line, instead of key=value text
	Debug bool
}

// How much log is kept in a file: some months of a busy shop.
const (
	logMegabytes = 10
	logBackups   = 10
)

// NewLog makes the service's log. Close it at the end.
func NewLog(w io.Writer, o LogOptions) (*slog.Logger, io.Closer, error) {
	var closer io.Closer = io.NopCloser(nil)
	if o.File != "" {
		file := &lumberjack.Logger{Filename: o.File, MaxSize: logMegabytes, MaxBackups: logBackups, Compress: true}
		if _, err := file.Write(nil); err != nil { // opens it: a wrong path is told now, not at the first fault
			var cause *fs.PathError
			if errors.As(err, &cause) { // the message names the file once
				err = cause.Err
			}
			return nil, nil, fmt.Errorf("log file %s: %w; name a file in a folder that the service may write", o.File, err)
		}
		w, closer = file, file
	}
	level := slog.LevelInfo
	if o.Debug {
		level = slog.LevelDebug
	}
	options := &slog.HandlerOptions{Level: level}
	if o.JSON {
		return slog.New(slog.NewJSONHandler(w, options)), closer, nil
	}
	return slog.New(slog.NewTextHandler(w, options)), closer, nil
}
