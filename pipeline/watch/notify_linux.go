package watch

import (
	"log/slog"

	"github.com/coreos/go-systemd/v22/daemon"
)

// The signs of life for systemd (sd_notify(3)); without a unit that wants them
// they do nothing.

func notifyReady(log *slog.Logger) {
	if _, err := daemon.SdNotify(false, daemon.SdNotifyReady); err != nil {
		log.Warn("systemd cannot be told that the service is ready", "error", err)
	}
}

func notifyAlive() { daemon.SdNotify(false, daemon.SdNotifyWatchdog) }

func notifyStopping() { daemon.SdNotify(false, daemon.SdNotifyStopping) }
