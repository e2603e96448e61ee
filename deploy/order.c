// Which methods a native program calls: order NAMES PROGRAM [ARGUMENT...] runs it and, once it has ended, writes their names to
// NAMES. It reads the program's symbols, in the order of their addresses (nm -n), from standard input. SIGTERM is handed on.
// Each method begins with a breakpoint, which is taken out at the first call. x64 alone.
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ptrace.h>
#include <sys/user.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MOST = 1 << 20 };
static struct method { unsigned long at; char *name; unsigned char first; char called; } methods[MOST];
static long count;
static pid_t child;

static void hand_on(int signal) { kill(child, signal); }

static struct method *find(unsigned long at) {
  for (long low = 0, high = count - 1; low <= high;) {
    long middle = (low + high) / 2;
    if (methods[middle].at == at) return &methods[middle];
    if (methods[middle].at < at) low = middle + 1; else high = middle - 1;
  }
  return NULL;
}

static void read_symbols(void) {
  static char line[1 << 16], name[1 << 16];
  unsigned long at;
  char kind;
  for (int managed = 0; fgets(line, sizeof line, stdin) && count < MOST;) {
    if (sscanf(line, "%lx %c %65535s", &at, &kind, name) != 3) continue;
    if (strcmp(name, "__start___managedcode") == 0) managed = 1;
    else if (strcmp(name, "__stop___managedcode") == 0) managed = 0;
    else if (managed && (kind == 't' || kind == 'T') && (count == 0 || methods[count - 1].at < at))
      methods[count++] = (struct method){ at, strdup(name), 0, 0 };
  }
}

static unsigned long loaded_at(const char *program) {
  char path[64], line[8192];
  unsigned long at = 0;
  snprintf(path, sizeof path, "/proc/%d/maps", child);
  FILE *maps = fopen(path, "r");
  while (maps && at == 0 && fgets(line, sizeof line, maps)) if (strstr(line, program)) at = strtoul(line, NULL, 16);
  return at;
}

int main(int argc, char **argv) {
  if (argc < 3) return 2;
  read_symbols();
  if ((child = fork()) == 0) {
    ptrace(PTRACE_TRACEME, 0, 0, 0);
    execv(argv[2], argv + 2);
    _exit(127);
  }
  int state;
  char path[64];
  waitpid(child, &state, 0);
  ptrace(PTRACE_SETOPTIONS, child, 0, PTRACE_O_TRACECLONE | PTRACE_O_EXITKILL);
  signal(SIGTERM, hand_on);
  unsigned long base = loaded_at(argv[2]);
  snprintf(path, sizeof path, "/proc/%d/mem", child);
  int memory = open(path, O_RDWR);
  for (long i = 0; i < count; i++)
    if (pread(memory, &methods[i].first, 1, base + methods[i].at) != 1 || pwrite(memory, "\xcc", 1, base + methods[i].at) != 1) {
      perror(argv[2]);
      return 1;
    }
  ptrace(PTRACE_CONT, child, 0, 0);
  for (;;) {
    pid_t thread = waitpid(-1, &state, __WALL);
    if (thread < 0 && errno == EINTR) continue;
    if (thread < 0) break;
    if (!WIFSTOPPED(state)) continue;
    int signal = WSTOPSIG(state);
    if (signal == SIGTRAP && state >> 16 == 0) {
      struct user_regs_struct registers;
      ptrace(PTRACE_GETREGS, thread, 0, &registers);
      struct method *one = find(registers.rip - 1 - base);
      if (one) {
        one->called = 1;
        pwrite(memory, &one->first, 1, base + one->at);
        registers.rip--;
        ptrace(PTRACE_SETREGS, thread, 0, &registers);
        signal = 0;
      }
    } else if (signal == SIGTRAP || signal == SIGSTOP) signal = 0;
    ptrace(PTRACE_CONT, thread, 0, signal);
  }
  FILE *names = fopen(argv[1], "w");
  for (long i = 0; names && i < count; i++) if (methods[i].called) fprintf(names, "%s\n", methods[i].name);
  return names && fclose(names) == 0 ? 0 : 1;
}
