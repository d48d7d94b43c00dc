#pragma once
// A library that is looked for when it is first needed, so that the program starts without it and stays small.
#include <dlfcn.h>

#include <stdexcept>
#include <string>
#include <utility>

namespace tubgrove {

class SharedLibrary {
public:
    // Throws std::runtime_error with `when_absent` where the machine has no such file. Never unloaded.
    SharedLibrary(std::string name, const char* file, const char* when_absent)
        : name_(std::move(name)), handle_(::dlopen(file, RTLD_NOW | RTLD_LOCAL)) {
        if (handle_ == nullptr) throw std::runtime_error(when_absent);
    }

    template <class Function>
    void find(const char* function, Function& into) const {
        into = reinterpret_cast<Function>(::dlsym(handle_, function));
        if (into == nullptr) throw std::runtime_error(name_ + " has no " + function);
    }

private:
    std::string name_;
    void* handle_;
};

}  // namespace tubgrove
