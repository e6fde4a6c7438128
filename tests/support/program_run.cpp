#include "tests/support/program_run.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace thirstline::test {
namespace {

struct Pipe {
    std::array<int, 2> ends{-1, -1};
    Pipe() {
        if (pipe2(ends.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
    }
    ~Pipe() {
        close_end(0);
        close_end(1);
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    void close_end(std::size_t which) {
        if (ends[which] >= 0) close(ends[which]);
        ends[which] = -1;
    }
};

/// Runs in the child, between fork and exec: must not allocate.
void become(const char* program, char* const* arguments, int out, int err, rlim_t most_bytes,
            bool is_limited) {
    if (is_limited) {
        const rlimit limit{most_bytes, most_bytes};
        setrlimit(RLIMIT_FSIZE, &limit);
    }
    dup2(out, STDOUT_FILENO);
    dup2(err, STDERR_FILENO);
    execv(program, arguments);
    _exit(127);
}

ProgramRun run(const char* program, const std::vector<std::string>& arguments,
               const RunOptions& options) {
    for (const char* name : {"LC_ALL", "LC_MEASUREMENT", "LC_CTYPE", "LANG", "THIRSTLINE_DB"})
        unsetenv(name);
    std::vector<char*> argv{const_cast<char*>(program)};
    for (const std::string& argument : arguments)
        argv.push_back(const_cast<char*>(argument.c_str()));
    argv.push_back(nullptr);

    Pipe out;
    Pipe err;
    const int file = options.standard_output.empty()
                         ? -1
                         : open(options.standard_output.c_str(), O_WRONLY | O_CLOEXEC);
    const pid_t child = fork();
    if (child < 0) throw std::runtime_error("no child process");
    if (child == 0) {
        become(program, argv.data(), file >= 0 ? file : out.ends[1], err.ends[1],
               static_cast<rlim_t>(options.most_bytes_of_a_file.value_or(0)),
               options.most_bytes_of_a_file.has_value());
    }
    out.close_end(1);
    err.close_end(1);
    if (file >= 0) close(file);

    ProgramRun result;
    std::array<pollfd, 2> ends{{{out.ends[0], POLLIN, 0}, {err.ends[0], POLLIN, 0}}};
    std::array<std::string*, 2> texts{&result.out, &result.err};
    bool is_interrupted = options.interrupt_after.empty();
    while (ends[0].fd >= 0 || ends[1].fd >= 0) {
        poll(ends.data(), ends.size(), -1);
        for (std::size_t i = 0; i < ends.size(); ++i) {
            if (ends[i].fd < 0 || ends[i].revents == 0) continue;
            std::array<char, 4096> buffer{};
            const ssize_t bytes = read(ends[i].fd, buffer.data(), buffer.size());
            if (bytes > 0) {
                texts[i]->append(buffer.data(), static_cast<std::size_t>(bytes));
            } else {
                ends[i].fd = -1;
            }
        }
        if (!is_interrupted && result.err.find(options.interrupt_after) != std::string::npos) {
            if (options.then) {
                options.then();
            } else {
                kill(child, SIGINT);
            }
            is_interrupted = true;
        }
    }
    int status = 0;
    waitpid(child, &status, 0);
    result.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return result;
}

}  // namespace

ProgramRun builder(const std::vector<std::string>& arguments, const RunOptions& options) {
    return run(THIRSTLINE_BUILDER_PROGRAM, arguments, options);
}

ProgramRun lookup(const std::vector<std::string>& arguments, const RunOptions& options) {
    return run(THIRSTLINE_LOOKUP_PROGRAM, arguments, options);
}

bool is_one_sentence(const std::string& standard_error) {
    const bool has_hint = standard_error.find("\nhint: ") != std::string::npos;
    const auto lines = std::count(standard_error.begin(), standard_error.end(), '\n');
    return standard_error.starts_with("thirstline-") && standard_error.ends_with('\n') &&
           lines == (has_hint ? 2 : 1);
}

std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    EXPECT_TRUE(file) << "cannot read " << path;
    return {std::istreambuf_iterator<char>(file), {}};
}

void write_text(const std::string& path, const std::string& text) {
    std::ofstream file(path, std::ios::binary | std::ios::trunc);
    file << text;
    if (!file.flush()) throw std::runtime_error("cannot write " + path);
}

std::vector<std::string> names_in(const std::string& folder) {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

}  // namespace thirstline::test
