package install

// defaultUser is an account of few rights that every Windows has. It must be
// allowed to change the shop folder; for a share name a user of the domain.
func defaultUser(string) (string, error) { return `NT AUTHORITY\LocalService`, nil }
