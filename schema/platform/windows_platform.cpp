// The platform layer for Windows. Names are converted to UTF-16, the system's own form, so that
// they do not depend on the code page.
#ifndef WIN32_LEAN_AND_MEAN
#define WIN32_LEAN_AND_MEAN
#endif
#ifndef NOMINMAX
#define NOMINMAX
#endif
#include <windows.h>
// After windows.h:
#include <fcntl.h>
#include <io.h>
#include <shellapi.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <limits>
#include <system_error>
#include <utility>

#include "schema/platform/byte_streams.hpp"
#include "schema/platform/process.hpp"
#include "schema/platform/regular_file.hpp"

namespace thirstline {
namespace {

constexpr DWORD kAllSharing = FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE;
constexpr int kStandardError = 2;
constexpr std::size_t kMaxTransferBytes = std::size_t{1} << 30;

std::wstring wide(const std::string& text) {
    const int bytes = static_cast<int>(text.size());
    std::wstring out(
        static_cast<std::size_t>(MultiByteToWideChar(CP_UTF8, 0, text.data(), bytes, nullptr, 0)),
        L'\0');
    MultiByteToWideChar(CP_UTF8, 0, text.data(), bytes, out.data(), static_cast<int>(out.size()));
    return out;
}

std::string narrow(const std::wstring& text) {
    const int units = static_cast<int>(text.size());
    std::string out(static_cast<std::size_t>(WideCharToMultiByte(CP_UTF8, 0, text.data(), units,
                                                                 nullptr, 0, nullptr, nullptr)),
                    '\0');
    WideCharToMultiByte(CP_UTF8, 0, text.data(), units, out.data(), static_cast<int>(out.size()),
                        nullptr, nullptr);
    return out;
}

HANDLE handle_of(std::intptr_t number) {
    return reinterpret_cast<HANDLE>(number);
}

/// In the words that other systems use, where they have the same error.
std::string last_error() {
    const std::error_code code(static_cast<int>(GetLastError()), std::system_category());
    const std::error_condition same = code.default_error_condition();
    return same.category() == std::generic_category() ? same.message() : code.message();
}

bool is_folder(const std::wstring& path) {
    const DWORD attributes = GetFileAttributesW(path.c_str());
    return attributes != INVALID_FILE_ATTRIBUTES && (attributes & FILE_ATTRIBUTE_DIRECTORY) != 0;
}

std::int64_t joined(DWORD high, DWORD low) {
    return static_cast<std::int64_t>(std::uint64_t{high} << 32U | low);
}

std::optional<FileStamp> stamp_of(HANDLE handle) {
    BY_HANDLE_FILE_INFORMATION known{};
    if (GetFileInformationByHandle(handle, &known) == 0) return std::nullopt;
    constexpr std::int64_t kTicksPerSecond = 10'000'000;
    const std::int64_t ticks =
        joined(known.ftLastWriteTime.dwHighDateTime, known.ftLastWriteTime.dwLowDateTime);
    return FileStamp{joined(known.nFileSizeHigh, known.nFileSizeLow), known.dwVolumeSerialNumber,
                     static_cast<std::uint64_t>(joined(known.nFileIndexHigh, known.nFileIndexLow)),
                     ticks / kTicksPerSecond, ticks % kTicksPerSecond * 100};
}

}  // namespace

Result<RegularFile> RegularFile::open(const std::string& path, const std::string& kind) {
    const auto of_other_kind = [&](const char* what) {
        return fail(ErrorCode::io,
                    path + " is " + what + ", and a " + kind + " must be a regular file");
    };
    const std::wstring name = wide(path);
    if (is_folder(name)) return of_other_kind("a folder");
    HANDLE handle = CreateFileW(name.c_str(), GENERIC_READ, kAllSharing, nullptr, OPEN_EXISTING,
                                FILE_FLAG_RANDOM_ACCESS, nullptr);
    if (handle == INVALID_HANDLE_VALUE)
        return fail(ErrorCode::io, "cannot open the " + kind + " " + path + ": " + last_error());
    RegularFile file(reinterpret_cast<std::intptr_t>(handle));
    const DWORD type = GetFileType(handle);
    if (type != FILE_TYPE_DISK)
        return of_other_kind(type == FILE_TYPE_PIPE ? "a pipe" : "a device");
    return file;
}

Result<RegularFile> RegularFile::of_descriptor(int descriptor, const std::string& name,
                                               const std::string& kind) {
    HANDLE given = handle_of(_get_osfhandle(descriptor));
    if (GetFileType(given) != FILE_TYPE_DISK)
        return fail(ErrorCode::io,
                    name + " is not open, and a " + kind + " must be a regular file");
    HANDLE own = nullptr;
    if (DuplicateHandle(GetCurrentProcess(), given, GetCurrentProcess(), &own, 0, FALSE,
                        DUPLICATE_SAME_ACCESS) == 0) {
        return fail(ErrorCode::io, "cannot open " + name + " again: " + last_error());
    }
    return RegularFile(reinterpret_cast<std::intptr_t>(own));
}

void RegularFile::close() {
    if (map_ != nullptr) UnmapViewOfFile(map_);
    if (handle_ != kNoHandle) CloseHandle(handle_of(handle_));
}

std::optional<FileStamp> RegularFile::stamp() const {
    return stamp_of(handle_of(handle_));
}

std::int64_t RegularFile::read_at(std::int64_t offset, std::span<std::uint8_t> to) const {
    std::size_t got = 0;
    while (got < to.size()) {
        const auto at = static_cast<std::uint64_t>(offset) + got;
        OVERLAPPED place{};
        place.Offset = static_cast<DWORD>(at & 0xFFFFFFFFU);
        place.OffsetHigh = static_cast<DWORD>(at >> 32U);
        const auto wanted = static_cast<DWORD>(std::min(to.size() - got, kMaxTransferBytes));
        DWORD more = 0;
        if (ReadFile(handle_of(handle_), to.data() + got, wanted, &more, &place) == 0)
            return GetLastError() == ERROR_HANDLE_EOF ? static_cast<std::int64_t>(got) : -1;
        if (more == 0) break;
        got += more;
    }
    return static_cast<std::int64_t>(got);
}

const std::uint8_t* RegularFile::map(std::int64_t bytes) {
    HANDLE mapping = CreateFileMappingW(handle_of(handle_), nullptr, PAGE_READONLY, 0, 0, nullptr);
    if (mapping == nullptr) return nullptr;
    map_ = MapViewOfFile(mapping, FILE_MAP_READ, 0, 0, static_cast<SIZE_T>(bytes));
    CloseHandle(mapping);  // the view keeps it
    mapped_bytes_ = bytes;
    return static_cast<const std::uint8_t*>(map_);
}

std::optional<FileStamp> file_stamp(const std::string& path) {
    HANDLE handle = CreateFileW(wide(path).c_str(), FILE_READ_ATTRIBUTES, kAllSharing, nullptr,
                                OPEN_EXISTING, FILE_ATTRIBUTE_NORMAL, nullptr);
    if (handle == INVALID_HANDLE_VALUE) return std::nullopt;
    const auto state = stamp_of(handle);
    CloseHandle(handle);
    return state;
}

void InputStream::close() {
    if (descriptor_ > kStandardInput) _close(descriptor_);
}

Result<InputStream> InputStream::open(const std::string& path) {
    const std::wstring name = wide(path);
    if (is_folder(name)) return fail(ErrorCode::io, path + " is a folder, not a file");
    const int descriptor = _wopen(name.c_str(), _O_RDONLY | _O_BINARY | _O_NOINHERIT);
    if (descriptor < 0)
        return fail(ErrorCode::io, path + " cannot be opened: " + std::strerror(errno));
    return InputStream(descriptor, path);
}

Result<std::size_t> InputStream::read(char* buffer, std::size_t capacity) {
    const auto wanted = static_cast<unsigned>(std::min(capacity, kMaxTransferBytes));
    const int got = _read(descriptor_, buffer, wanted);
    if (got >= 0) return static_cast<std::size_t>(got);
    return fail(ErrorCode::io, name_ + " cannot be read: " + std::strerror(errno));
}

Result<void> write_all(int descriptor, std::string_view bytes, const std::string& name) {
    while (!bytes.empty()) {
        const auto wanted = static_cast<unsigned>(std::min(bytes.size(), kMaxTransferBytes));
        const int written = _write(descriptor, bytes.data(), wanted);
        if (written < 0)
            return fail(ErrorCode::io, name + " cannot be written: " + std::strerror(errno));
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
}

StandardStreams::StandardStreams() {
    for (const int descriptor : {kStandardInput, kStandardOutput, kStandardError})
        if (_get_osfhandle(descriptor) >= 0) _setmode(descriptor, _O_BINARY);
    const UINT before = GetConsoleOutputCP();  // 0 without a console
    if (before != 0 && before != CP_UTF8 && SetConsoleOutputCP(CP_UTF8) != 0)
        console_encoding_ = before;
}

StandardStreams::~StandardStreams() {
    std::fflush(stderr);
    if (console_encoding_ != 0) SetConsoleOutputCP(console_encoding_);
}

bool StandardStreams::has_output() const {
    return _get_osfhandle(kStandardOutput) >= 0;
}

// Those of main are in the code page, in which characters may be lost.
std::vector<std::string> program_arguments(int argc, const char* const* argv) {
    int count = 0;
    LPWSTR* const words = CommandLineToArgvW(GetCommandLineW(), &count);
    if (words == nullptr) return {argv, argv + argc};
    std::vector<std::string> arguments;
    for (int i = 0; i < count; ++i) arguments.push_back(narrow(words[i]));
    LocalFree(words);
    return arguments;
}

std::string environment_variable(const char* name) {
    const std::wstring wide_name = wide(name);
    const DWORD units = GetEnvironmentVariableW(wide_name.c_str(), nullptr, 0);  // with the final 0
    if (units == 0) return {};
    std::wstring value(units, L'\0');
    value.resize(GetEnvironmentVariableW(wide_name.c_str(), value.data(), units));
    return narrow(value);
}

UserLocale user_locale() {
    std::wstring name(LOCALE_NAME_MAX_LENGTH, L'\0');
    const int units =
        GetUserDefaultLocaleName(name.data(), static_cast<int>(name.size()));  // with the final 0
    name.resize(units > 0 ? static_cast<std::size_t>(units) - 1 : 0);
    std::string language = narrow(name);
    std::replace(language.begin(), language.end(), '-', '_');

    DWORD uses_inches = 0;
    GetLocaleInfoEx(LOCALE_NAME_USER_DEFAULT, LOCALE_IMEASURE | LOCALE_RETURN_NUMBER,
                    reinterpret_cast<LPWSTR>(&uses_inches), sizeof uses_inches / sizeof(WCHAR));
    return {language + ".UTF-8", uses_inches == 1 ? "en_US" : "C"};
}

std::optional<std::size_t> terminal_columns() {
    CONSOLE_SCREEN_BUFFER_INFO known{};
    if (GetConsoleScreenBufferInfo(GetStdHandle(STD_OUTPUT_HANDLE), &known) == 0)
        return std::nullopt;
    return static_cast<std::size_t>(known.srWindow.Right - known.srWindow.Left + 1);
}

}  // namespace thirstline
