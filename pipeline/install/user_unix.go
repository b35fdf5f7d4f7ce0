//go:build !windows

package install

import (
	"fmt"
	"os"
	"os/user"
	"strconv"
	"syscall"
)

// defaultUser is the owner of the shop folder, who must not be root.
func defaultUser(shop string) (string, error) {
	info, err := os.Stat(shop)
	if err != nil {
		return "", err
	}
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok || st.Uid == 0 {
		return "", fmt.Errorf("shop folder %s: belongs to root, as whom the service does not run; give it to an ordinary user with chown, or name one with --user", shop)
	}
	u, err := user.LookupId(strconv.FormatUint(uint64(st.Uid), 10))
	if err != nil {
		return "", fmt.Errorf("shop folder %s: its owner: %w; name a user with --user", shop, err)
	}
	return u.Username, nil
}
