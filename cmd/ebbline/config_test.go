package main

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"go.yaml.in/yaml/v3"
)

func configFrom(pairs ...string) (config, error) {
	return (&app{environ: variables(pairs)}).readConfig()
}

func TestConfigWithNothingSet(t *testing.T) {
	c, err := configFrom()
	if err != nil {
		t.Fatal(err)
	}
	if c.Database != "sqlite:data/ebbline.db" || !c.embedded() || c.Listen != "127.0.0.1:8080" || c.SweepEvery != 10*time.Second {
		t.Errorf("have %+v", c)
	}
}

func TestConfigFollowsTheDataFolder(t *testing.T) {
	c, err := configFrom("EBBLINE_DATA=/var/lib/ebbline")
	if err != nil || c.Database != "sqlite:/var/lib/ebbline/ebbline.db" {
		t.Errorf("have %q, %v", c.Database, err)
	}
}

func TestConfigRefuses(t *testing.T) {
	postgres := "EBBLINE_DATABASE=postgres://a:hush@db/ebbline"
	cases := []struct {
		name  string
		pairs []string
		want  string
	}{
		{"SQLite with Redis", []string{"EBBLINE_REDIS=redis://localhost:6379"}, "EBBLINE_REDIS is set but the database is an SQLite file"},
		{"another database", []string{"EBBLINE_DATABASE=mysql://a:hush@db"}, "EBBLINE_DATABASE: want postgres://"},
		{"a setting that does not exist", []string{"EBBLINE_LISTNE=:80"}, "EBBLINE_LISTNE: there is no such setting"},
		{"no port", []string{"EBBLINE_LISTEN=localhost"}, "EBBLINE_LISTEN=localhost: want host:port"},
		{"a path in the address", []string{"EBBLINE_PUBLIC_URL=https://a.example.com/plan"}, "EBBLINE_PUBLIC_URL="},
		{"another scheme", []string{"EBBLINE_PUBLIC_URL=ftp://a.example.com"}, "EBBLINE_PUBLIC_URL="},
		{"a proxy by name", []string{"EBBLINE_TRUSTED_PROXIES=10.0.0.1,front"}, `"front"`},
		{"no time", []string{"EBBLINE_SWEEP_EVERY=0s"}, "EBBLINE_SWEEP_EVERY=0s"},
		{"a time without unit", []string{"EBBLINE_LEASE=60"}, "Lease"},
		{"Redis without a scheme", []string{postgres, "EBBLINE_REDIS=localhost:6379"}, "EBBLINE_REDIS: want redis://"},
		{"a level", []string{"EBBLINE_LOG_LEVEL=loud"}, "EBBLINE_LOG_LEVEL=loud"},
		{"a form", []string{"EBBLINE_LOG_FORMAT=xml"}, "EBBLINE_LOG_FORMAT=xml"},
		{"a sender", []string{postgres, "EBBLINE_MAIL_FROM=nobody"}, "EBBLINE_MAIL_FROM=nobody"},
		{"a gateway anyone may use", []string{postgres, "EBBLINE_SMS_URL=https://sms.example.com", "EBBLINE_SMS_SECRET=hush"}, "EBBLINE_SMS_SECRET: want 16"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := configFrom(c.pairs...)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("have %v, want %q", err, c.want)
			}
			if strings.Contains(err.Error(), "hush") {
				t.Errorf("shows a password: %v", err)
			}
			if _, wrong := err.(wrongUse); !wrong { //nolint:errorlint // readConfig answers it bare
				t.Errorf("%T is not a wrong use", err)
			}
		})
	}
}

// What looks like a password is marked as a secret.
func TestEverySettingIsDescribed(t *testing.T) {
	for _, s := range settings() {
		if !strings.HasPrefix(s.Name, "EBBLINE_") || !strings.HasSuffix(s.Doc, ".") {
			t.Errorf("%+v: want a name that starts with EBBLINE_ and a sentence", s)
		}
		if regexp.MustCompile(`KEY|PASSWORD|SECRET|DATABASE|REDIS`).MatchString(s.Name) && !s.Secret {
			t.Errorf("%s is not marked as a secret", s.Name)
		}
	}
}

// The compose file sets only what exists, and gives every service of ours what
// it needs to find the two servers.
func TestComposeFileKnowsTheSettings(t *testing.T) {
	text, err := os.ReadFile("../../docker-compose.yml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Services map[string]struct {
			Image       string
			Build       any
			Command     []string
			Environment map[string]string
		}
	}
	if err := yaml.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, s := range settings() {
		known[s.Name] = true
	}
	var commands []string
	for name, service := range file.Services {
		if service.Build == nil {
			continue // Postgres, Redis
		}
		commands = append(commands, strings.Join(service.Command, " "))
		for variable := range service.Environment {
			if !known[variable] {
				t.Errorf("service %s sets %s, which is no setting", name, variable)
			}
		}
		var pairs []string
		for variable, value := range service.Environment {
			pairs = append(pairs, variable+"="+filled(value))
		}
		c, err := configFrom(pairs...)
		if err != nil {
			t.Errorf("service %s: %v", name, err)
		} else if c.embedded() || c.Redis == "" {
			t.Errorf("service %s is not told Postgres and Redis", name)
		}
	}
	slices.Sort(commands)
	if want := []string{"migrate", "serve", "work"}; !slices.Equal(commands, want) {
		t.Errorf("services run %q, want %q", commands, want)
	}
}

// filled puts something in for ${NAME:?...} and ${NAME:-default}.
func filled(value string) string {
	return regexp.MustCompile(`\$\{([A-Z_]+)(:-([^}]*)|:\?[^}]*)?\}`).ReplaceAllStringFunc(value, func(found string) string {
		if _, standard, ok := strings.Cut(strings.TrimSuffix(found, "}"), ":-"); ok {
			return standard
		}
		return strings.Repeat("ab", 32)
	})
}

// README.md has the table of settings, line for line; -update puts it there.
func TestReadmeHasTheSettings(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var want strings.Builder
	want.WriteString("| variable | default | meaning |\n| --- | --- | --- |\n")
	for _, s := range settings() {
		want.WriteString(s.readmeLine() + "\n")
	}
	block := regexp.MustCompile("(?m)^\\| variable .*\n(\\|.*\n)*")
	have := block.FindString(string(text))
	if *update {
		if err := os.WriteFile("../../README.md", block.ReplaceAllLiteral(text, []byte(want.String())), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if have != want.String() {
		t.Errorf("the table of settings in README.md should be:\n%s", want.String())
	}
}

func (s setting) readmeLine() string {
	standard := s.Default
	if standard != "" {
		standard = "`" + standard + "`"
	}
	doc := s.Doc
	if s.Secret {
		doc += " Secret."
	}
	return "| `" + s.Name + "` | " + standard + " | " + doc + " |"
}
