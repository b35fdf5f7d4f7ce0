//go:build !linux

package watch

import "log/slog"

// Other systems have no watchdog that wants signs of life.
func notifyReady(*slog.Logger) {}
func notifyAlive()             {}
func notifyStopping()          {}
