package install

import (
	"fmt"
	"strings"
)

// unit is the systemd unit of the service: nothing writable but the shop
// folder, no privileges, no network unless metrics are wanted, a limit on memory, and
// a watchdog that the service must keep content (systemd.exec(5), systemd.service(5)).
func (o Options) unit(program string) string {
	args := o.arguments()
	for i, a := range args {
		args[i] = quoteArgument(a)
	}
	writable := []string{quotePath(o.Shop)}
	for _, dir := range o.Writable {
		writable = append(writable, quotePath(dir))
	}
	families, allow := "AF_UNIX", ""
	if o.Network {
		families, allow = "AF_UNIX AF_INET AF_INET6", "IPAddressAllow=localhost\n"
	}
	// The kernel ends the largest process when the limit is passed, a worker; the
	// service goes on and says which template it was.
	memory := ""
	if o.Memory > 0 {
		memory = fmt.Sprintf("MemoryMax=%dM\n", (o.Memory+1<<20-1)>>20)
	}
	return fmt.Sprintf(unitText, escape(o.Shop), quotePath(o.Shop), program, strings.Join(args, " "), o.User, memory,
		strings.Join(writable, " "), families, allow)
}

const unitText = `[Unit]
Description=trueup, checks stone top templates dropped into %s
RequiresMountsFor=%s
StartLimitIntervalSec=300
StartLimitBurst=20

[Service]
Type=notify
NotifyAccess=main
ExecStart=%s %s
User=%s
Restart=always
RestartSec=5
TimeoutStartSec=60
TimeoutStopSec=15
WatchdogSec=180
UMask=0002
Environment=GOMEMLIMIT=1536MiB
%sOOMPolicy=continue
TasksMax=512
LimitNOFILE=8192
Nice=5
NoNewPrivileges=yes
CapabilityBoundingSet=
AmbientCapabilities=
ProtectSystem=strict
ProtectHome=read-only
ReadWritePaths=%s
PrivateTmp=yes
PrivateDevices=yes
PrivateMounts=yes
ProtectClock=yes
ProtectControlGroups=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
RestrictAddressFamilies=%s
%sIPAddressDeny=any
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
MemoryDenyWriteExecute=yes
RemoveIPC=yes
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallFilter=~@privileged @resources
SystemCallErrorNumber=EPERM

[Install]
WantedBy=multi-user.target
`

// escape doubles what systemd expands, and what the service library's own
// template would take for a placeholder.
func escape(s string) string {
	return strings.NewReplacer("%", "%%", "\n", " ", "{{", "{ {").Replace(s)
}

// quotePath is a path in a list of paths.
func quotePath(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(escape(s)) + `"`
}

// quoteArgument is an argument of a command line, in which $ expands too.
func quoteArgument(s string) string { return strings.ReplaceAll(quotePath(s), "$", "$$") }
