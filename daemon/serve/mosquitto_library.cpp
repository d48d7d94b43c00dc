#include "serve/mosquitto_library.hpp"

#include <dlfcn.h>

#include <stdexcept>
#include <string>

namespace tubgrove {
namespace {

template <class Function>
void find(void* library, const char* name, Function& into) {
    into = reinterpret_cast<Function>(::dlsym(library, name));
    if (into == nullptr) throw std::runtime_error(std::string("libmosquitto has no ") + name);
}

MosquittoLibrary load() {
    void* library = ::dlopen("libmosquitto.so.1", RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) throw std::runtime_error("messages need libmosquitto, which is not on this machine; right would be: apt install libmosquitto1");
    MosquittoLibrary found{};
    find(library, "mosquitto_lib_init", found.lib_init);
    find(library, "mosquitto_new", found.create);
    find(library, "mosquitto_destroy", found.destroy);
    find(library, "mosquitto_threaded_set", found.threaded_set);
    find(library, "mosquitto_username_pw_set", found.username_pw_set);
    find(library, "mosquitto_tls_set", found.tls_set);
    find(library, "mosquitto_connect", found.connect);
    find(library, "mosquitto_disconnect", found.disconnect);
    find(library, "mosquitto_subscribe", found.subscribe);
    find(library, "mosquitto_publish", found.publish);
    find(library, "mosquitto_socket", found.socket);
    find(library, "mosquitto_loop_read", found.loop_read);
    find(library, "mosquitto_loop_write", found.loop_write);
    find(library, "mosquitto_loop_misc", found.loop_misc);
    find(library, "mosquitto_want_write", found.want_write);
    find(library, "mosquitto_connect_callback_set", found.connect_callback_set);
    find(library, "mosquitto_subscribe_callback_set", found.subscribe_callback_set);
    find(library, "mosquitto_publish_callback_set", found.publish_callback_set);
    find(library, "mosquitto_message_callback_set", found.message_callback_set);
    find(library, "mosquitto_strerror", found.strerror);
    find(library, "mosquitto_connack_string", found.connack_string);
    found.lib_init();
    return found;
}

}  // namespace

const MosquittoLibrary& mosquitto_library() {
    static const MosquittoLibrary library = load();
    return library;
}

}  // namespace tubgrove
