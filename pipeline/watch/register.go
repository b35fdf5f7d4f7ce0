package watch

import "context"

func (s *Service) keepRegister(ctx context.Context) { <-ctx.Done() }
