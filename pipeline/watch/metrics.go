package watch

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// ServeMetrics answers on a loopback address, until ctx is done:
//
//	/metrics  figures for Prometheus
//	/health   200 while the service gets on, 503 with the reason when it does not
//
// It refuses any other address: what it tells is the business of this machine only.
// Call it beside Run.
func (s *Service) ServeMetrics(ctx context.Context, address string) error {
	l, err := listenLoopback(address)
	if err != nil {
		return err
	}
	return s.serveMetrics(ctx, l)
}

// CheckMetrics refuses what is no loopback address with a port, such as
// 127.0.0.1:9117.
func CheckMetrics(address string) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("metrics address %q: an address and a port are wanted; write 127.0.0.1:9117", address)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fmt.Errorf("metrics address %q: only loopback addresses are served; write 127.0.0.1 and a port", address)
	}
	return nil
}

func listenLoopback(address string) (net.Listener, error) {
	if err := CheckMetrics(address); err != nil {
		return nil, err
	}
	return net.Listen("tcp", address)
}

// Limits of a scrape, so that a stuck client holds nothing.
const (
	headerTime  = 5 * time.Second
	requestTime = 10 * time.Second
)

func (s *Service) serveMetrics(ctx context.Context, l net.Listener) error {
	registry := prometheus.NewRegistry()
	registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}), &figures{s})
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(registry, promhttp.HandlerOpts{}))
	mux.HandleFunc("GET /health", s.health)
	server := &http.Server{Handler: mux, ReadHeaderTimeout: headerTime, ReadTimeout: requestTime, WriteTimeout: requestTime}
	stop := context.AfterFunc(ctx, func() { server.Close() })
	defer stop()
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func (s *Service) health(w http.ResponseWriter, _ *http.Request) {
	if reason := s.public(); reason != "" {
		http.Error(w, reason, http.StatusServiceUnavailable)
		return
	}
	fmt.Fprintln(w, "ok")
}

// figures gives the ledger to Prometheus.
type figures struct{ s *Service }

var _ prometheus.Collector = (*figures)(nil)

// Describe sends nothing: the collector is unchecked, its metrics are fixed below.
func (f *figures) Describe(chan<- *prometheus.Desc) {}

// Collect sends the ledger's present state.
func (f *figures) Collect(out chan<- prometheus.Metric) {
	stuck, overdue := f.s.diagnose()
	h := f.s.ledger.snapshot()
	gauge := func(name, help string, v float64) {
		out <- prometheus.MustNewConstMetric(prometheus.NewDesc("trueup_"+name, help, nil, nil), prometheus.GaugeValue, v)
	}
	filed := prometheus.NewDesc("trueup_templates_total", "Templates filed since the start, by what became of them.", []string{"outcome"}, nil)
	for outcome, n := range map[string]int{"ready": h.Since.Ready, "review": h.Since.Review, "failed": h.Since.Failed,
		"returned": h.Since.Returned, "duplicate": h.Since.Duplicates} {
		out <- prometheus.MustNewConstMetric(filed, prometheus.CounterValue, float64(n), outcome)
	}
	gauge("waiting", "Templates in drop/.", float64(h.Waiting))
	gauge("working", "Jobs in work.", float64(h.Working))
	gauge("left", "Files left alone in drop/ because they are no .dxf, a link or the like; the status names them.", float64(len(h.Left)))
	gauge("not_taken", "Templates and folders in drop/ that cannot be read or moved; the status names them.", float64(len(h.NotTaken)))
	gauge("held", "Jobs in review/ whose decisions wait, a workbook held open for instance.", float64(len(h.Held)))
	gauge("processors", "Templates that worker processes are busy with, those given up for their time limit too.", float64(f.s.running.Load()))
	gauge("stuck", "Loops of the service that do not get on; /health names them.", float64(len(stuck)))
	gauge("overdue", "Jobs in work for longer than the job time and the patience together.", float64(len(overdue)))
	trouble := 0.0
	if f.s.public() != "" {
		trouble = 1
	}
	gauge("trouble", "1 while something keeps the service from working; /health says what.", trouble)
	gauge("start_time_seconds", "When the service started, in seconds since 1970.", float64(h.Started.Unix()))
}
