//go:build !windows

package install

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"slices"
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

// checkUser refuses a user that the system does not know, and root.
func checkUser(name string) error {
	u, err := user.Lookup(name)
	var unknown user.UnknownUserError
	switch {
	case errors.As(err, &unknown):
		return fmt.Errorf("user %s: this system knows no such user; `useradd --system %s` makes one", name, name)
	case err != nil:
		return fmt.Errorf("user %s: %w", name, err)
	case u.Uid == "0":
		return fmt.Errorf("user %s: the service does not run as root; name an ordinary user", name)
	}
	return nil
}

// doubts tells what the user of the service may not do by the permission bits.
// Access lists can allow more than these say, so that it is a remark only.
func (o Options) doubts() string {
	a, err := lookUp(o.User)
	if err != nil {
		return ""
	}
	said := ""
	if !a.reaches(o.program, mayRead|mayEnter) {
		said += fmt.Sprintf("\nlook: %s may not run %s; copy the program to /usr/local/bin, uninstall, and install again from there", o.User, o.program)
	}
	for _, dir := range []string{o.Shop, filepath.Join(o.Shop, "drop"), filepath.Join(o.Shop, ".work")} {
		if !a.reaches(dir, mayRead|mayWrite|mayEnter) {
			return said + fmt.Sprintf("\nlook: %s may not write into %s; `chown -R %s` on the shop folder gives it over", o.User, dir, o.User)
		}
	}
	return said
}

// Permission bits of one class of users.
const (
	mayEnter = 1 << iota
	mayWrite
	mayRead
)

// account is a user with the groups it is in.
type account struct {
	uid  uint64
	gids []uint64
}

func lookUp(name string) (account, error) {
	u, err := user.Lookup(name)
	if err != nil {
		return account{}, err
	}
	var a account
	if a.uid, err = strconv.ParseUint(u.Uid, 10, 32); err != nil {
		return account{}, err
	}
	groups, err := u.GroupIds()
	if err != nil {
		return account{}, err
	}
	for _, g := range groups {
		id, err := strconv.ParseUint(g, 10, 32)
		if err != nil {
			return account{}, err
		}
		a.gids = append(a.gids, id)
	}
	return a, nil
}

// reaches tells whether the bits allow what is wanted at the path and entering
// every folder above it. What cannot be looked at is not held against it.
func (a account) reaches(path string, want uint32) bool {
	for at, bits := path, want; ; at, bits = filepath.Dir(at), mayEnter {
		if info, err := os.Stat(at); err == nil && !a.may(info, bits) {
			return false
		}
		if at == filepath.Dir(at) {
			return true
		}
	}
}

func (a account) may(info fs.FileInfo, want uint32) bool {
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return true
	}
	mode := uint32(info.Mode().Perm())
	switch {
	case uint64(st.Uid) == a.uid:
		mode >>= 6
	case slices.Contains(a.gids, uint64(st.Gid)):
		mode >>= 3
	}
	return mode&want == want
}
