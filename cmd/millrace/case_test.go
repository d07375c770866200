package main

import (
	"bytes"
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"millrace/scripting"
)

// TestHelpExampleRuns pastes the example of the help into a file and runs it; the README
// shows the same.
func TestHelpExampleRuns(t *testing.T) {
	var help, out, errs bytes.Buffer
	if code := Main([]string{"help", "case"}, &help, &errs); code != exitDone {
		t.Fatal(errs.String())
	}
	_, example, ok := strings.Cut(help.String(), "run with: millrace case my-case.lua\n\n")
	example, _, more := strings.Cut(example, "\n\nKEYS OF A CASE FILE")
	if !ok || !more || example+"\n" != scripting.CaseExample {
		t.Fatalf("help shows\n%s", example)
	}
	readme, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(readme), "```lua\n"+scripting.CaseExample+"```") {
		t.Error("the README shows another example; paste the one of scripting.CaseExample")
	}
	for _, k := range scripting.CaseKeys {
		if !strings.Contains(help.String(), "\n  "+strings.TrimSuffix(k.Name, "_")) {
			t.Errorf("help does not tell %s of %s", k.Name, k.Table)
		}
	}
	if testing.Short() {
		t.Skip("needs years of operation; run without -short")
	}
	file := filepath.Join(t.TempDir(), "my-case.lua")
	if err := os.WriteFile(file, []byte(example), 0o644); err != nil {
		t.Fatal(err)
	}
	if code := Main([]string{"case", file, "--futures", "2", "--years", "1", "--quick", "--no-report"}, &out, &errs); code != exitDone {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	if !strings.Contains(out.String(), "MEAN FLOW of C") {
		t.Errorf("the proposal's flow is missing:\n%s", out.String())
	}
}

// TestTerminatedCaseSaysSo: a case that is told to end by SIGTERM ends as one that is
// stopped by hand, and says so.
func TestTerminatedCaseSaysSo(t *testing.T) {
	caught := make(chan os.Signal, 64) // so that none sent before the command listens ends the test
	signal.Notify(caught, syscall.SIGTERM)
	defer signal.Stop(caught)
	ctx, cancel := context.WithCancel(context.Background())
	var sender sync.WaitGroup
	sender.Go(func() {
		for ctx.Err() == nil {
			time.Sleep(20 * time.Millisecond)
			_ = syscall.Kill(os.Getpid(), syscall.SIGTERM)
			<-caught // it has arrived: none is on its way when this ends
		}
	})
	defer func() { cancel(); sender.Wait() }()
	dir := filepath.Join(t.TempDir(), "request")
	var out, errs bytes.Buffer
	code := Main([]string{"case", "scenarios/larkfell/cases/spare-stand-parts.lua", "--futures", "1000", "--out", dir}, &out, &errs)
	if code != exitFailed || !strings.Contains(errs.String(), "stopped before two futures were whole") {
		t.Errorf("exit code %d, said %q", code, errs.String())
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("something was written")
	}
}

// TestCaseFlagsOfNothing: a number of nothing is refused, and not taken as left out.
func TestCaseFlagsOfNothing(t *testing.T) {
	for _, flag := range []string{"--futures", "--years"} {
		var out, errs bytes.Buffer
		code := Main([]string{"case", "scenarios/larkfell/cases/spare-stand-parts.lua", flag, "0", "--no-report"}, &out, &errs)
		if code != exitInput || !strings.Contains(errs.String(), flag+": 0; give ") {
			t.Errorf("%s 0: exit code %d, said %q", flag, code, errs.String())
		}
	}
}

// TestAnswerBeforeFolder: a folder that cannot be written does not lose the answer.
func TestAnswerBeforeFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("needs years of operation; run without -short")
	}
	file := filepath.Join(t.TempDir(), "a file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	code := Main([]string{"case", "scenarios/larkfell/cases/spare-stand-parts.lua", "--futures", "2", "--years", "1", "--quick", "--out", filepath.Join(file, "request")}, &out, &errs)
	if code != exitFailed || !strings.Contains(out.String(), "OPTIONS against A") || strings.Contains(out.String(), "The request: ") {
		t.Errorf("exit code %d, said %q, answered\n%s", code, errs.String(), out.String())
	}
}
